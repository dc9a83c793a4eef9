# an empty drawer is refused
sed "s/\"faces\"/\"drawer\": [], \"faces\"/" ex/gilded-dial.json | sed "s/fire-gilt, signed by an earlier owner/rolled/" | $L plan -
