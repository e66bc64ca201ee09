// Package weather fetches forecast files from open archives and keeps them in a
// folder that is its own catalogue.
//
// Get asks an archive for the index of each file (a line of text for each
// message), fetches the messages that a flight needs by byte range or from a
// service that cuts out an area, checks each against its index line, cuts it to
// the area, and puts whole files into the folder or none. List, Prune and Import
// look after the folder. Nothing is fetched unless Get is called.
package weather
