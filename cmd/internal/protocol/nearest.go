package protocol

// Nearest finds the known name that was probably meant: at most two letters
// off, and fewer than the word is long. Equal distances: the first.
func Nearest(word string, known []string) string {
	best, most := "", 3
	for _, k := range known {
		short := min(len(word), len(k))
		if d := len(word) - len(k); d >= most || -d >= most {
			continue
		}
		if d := distance(word, k); d < most && d < short {
			best, most = k, d
		}
	}
	return best
}

// distance counts the letters to insert, drop, change or swap with their
// neighbor to turn a into b (optimal string alignment).
func distance(a, b string) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := last[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(change, last[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
