package settings

import (
	"os"
	"path/filepath"
)

// Location is something that dewgap reads or keeps on this computer.
type Location struct {
	What   string // "settings", "saved forecasts", "book", "products"
	Path   string // absolute, "" if there is none
	Exists bool
	Set    string // what to set to have it elsewhere
}

// Where lists what dewgap reads and keeps and whether it is there.
func (s *Settings) Where() []Location {
	list := []Location{
		{What: "settings", Path: s.File, Set: "--settings or " + HomeEnv},
		{What: "saved forecasts", Path: s.Cache, Set: HomeEnv},
		{What: "book", Path: s.Book(), Set: HomeEnv},
	}
	if s.Products != "" {
		list = append(list, Location{What: "products", Path: s.Products, Set: "DEWGAP_PRODUCTS or products in the settings file"})
	}
	for i := range list {
		if list[i].Path == "" {
			continue
		}
		list[i].Path = absolute(list[i].Path)
		_, err := os.Stat(list[i].Path)
		list[i].Exists = err == nil
	}
	return list
}

// Book is the file of what the person recorded, "" if the system names no
// folder for it.
func (s *Settings) Book() string {
	if s.Home == "" {
		return ""
	}
	return filepath.Join(s.Home, "book.sqlite")
}
