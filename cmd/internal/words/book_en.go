package words

var bookEnglish = map[string]string{}
