//go:build !race

package farmfile

const raceDetector = false
