package process

// Calculation is the version of all that the program works out of a farm's files, here
// and in the packages above: raised with anything that can change a number of a ledger
// while no file of the farm does, a value of the program's own library among that. Two
// programs of one calculation give the same numbers of the same files.
//
// What changed with each version is message "calculation.<version>". The count begins
// with 1: before it, numbers changed without being counted.
const Calculation = 3
