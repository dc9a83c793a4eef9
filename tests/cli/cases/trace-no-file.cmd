# a missing file is a system failure with its name
$L trace nowhere.x3p
