package words

var farmfileEnglish = map[string]string{}
