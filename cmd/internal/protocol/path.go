package protocol

// Where the files of a farm folder are.
const (
	Folder        = "protocols"
	FarmDocument  = Folder + "/farm.toml"
	LibraryFolder = Folder + "/library"
)

// Document is the path of the file of the protocol with that name.
func Document(name string) string { return Folder + "/" + name + ".toml" }
