package words_test

import (
	"fmt"
	"strings"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// One message with a number that has its word, in two languages.
func ExampleVoice_Say() {
	for _, tag := range []string{"en", "es"} {
		voice, err := words.In(tag, unit.Metric)
		if err != nil {
			fmt.Println(err)
			return
		}
		for _, n := range []int{1, 2} {
			// The space behind a number does not break; here it may.
			fmt.Println(strings.ReplaceAll(voice.Say(words.Message("command.book_warnings", "n", n)), unit.Space, " "))
		}
	}
	// Output:
	// 1 warning stands in the book; bottlecrop check prints them
	// 2 warnings stand in the book; bottlecrop check prints them
	// 1 advertencia figura en el libro; bottlecrop check las muestra
	// 2 advertencias figuran en el libro; bottlecrop check las muestra
}
