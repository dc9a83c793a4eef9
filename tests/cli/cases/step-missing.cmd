# a step without a drive says what is missing
$L step --material brass_260 --grit P400
