package words

var commandEnglish = map[string]string{}
