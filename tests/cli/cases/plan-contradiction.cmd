# a target that what goes on afterwards excludes is refused
sed "s/\"next\": \"none\"/\"next\": \"paint\"/; s/fire-gilt, signed by an earlier owner/rolled/" ex/gilded-dial.json | $L plan -
