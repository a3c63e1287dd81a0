// Package shopfolder opens the catalog that a program is told to work from: a folder,
// a workbook with the YAML files beside it, or the invented shop.
package shopfolder
