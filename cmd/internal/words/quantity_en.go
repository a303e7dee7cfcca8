package words

var quantityEnglish = map[string]string{}
