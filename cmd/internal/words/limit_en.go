package words

var limitEnglish = map[string]string{}
