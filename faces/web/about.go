package web

import (
	"io/fs"
	"net/http"
	"strings"
)

type aboutAnswer struct {
	Version   string          `json:"version"`
	Libraries []libraryAnswer `json:"libraries"`
}

type libraryAnswer struct {
	Name    string `json:"name"`
	Version string `json:"version"`
	Licence string `json:"licence"`
	Text    string `json:"text"` // where the licence's text is served
}

// about reads what is vendored from the SOURCE file beside each library.
func (s *Server) about(*http.Request) (any, error) {
	const vendor = "ui/vendor"
	answer := aboutAnswer{Version: s.version, Libraries: []libraryAnswer{}}
	folders, err := fs.ReadDir(embedded, vendor)
	if err != nil {
		return nil, err
	}
	for _, folder := range folders {
		text, err := embedded.ReadFile(vendor + "/" + folder.Name() + "/SOURCE")
		if err != nil {
			return nil, err
		}
		library := libraryAnswer{Text: "/" + vendor + "/" + folder.Name() + "/LICENSE"}
		for line := range strings.Lines(string(text)) {
			switch key, value, _ := strings.Cut(strings.TrimSpace(line), " "); key {
			case "package":
				library.Name = strings.TrimSpace(value)
			case "version":
				library.Version = strings.TrimSpace(value)
			case "licence":
				library.Licence = strings.TrimSpace(value)
			}
		}
		answer.Libraries = append(answer.Libraries, library)
	}
	return answer, nil
}
