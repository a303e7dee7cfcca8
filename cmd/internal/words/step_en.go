package words

var stepEnglish = map[string]string{}
