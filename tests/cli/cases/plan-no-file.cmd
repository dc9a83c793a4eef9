# a job that is not there is one line
$L plan nowhere.json
