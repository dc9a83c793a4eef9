# help without a verb lists the verbs
$L --help
