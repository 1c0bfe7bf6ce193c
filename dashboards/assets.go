package dashboards

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
)

//go:embed page
var files embed.FS

// Static returns what browsers load beside a page: style sheet, scripts, icon.
func Static() (fs.FS, error) {
	static, err := fs.Sub(files, "page/static")
	if err != nil {
		return nil, fmt.Errorf("open built-in page files: %w", err)
	}
	return static, nil
}

// StaticVersion returns a short word that changes with the contents of Static,
// so that a browser may keep the files for ever and still see new ones.
func StaticVersion() (string, error) {
	static, err := Static()
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	err = fs.WalkDir(static, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := fs.ReadFile(static, name)
		if err != nil {
			return err
		}
		fmt.Fprintf(sum, "%s %d\n", name, len(content))
		sum.Write(content)
		return nil
	})
	if err != nil {
		return "", fmt.Errorf("sum built-in page files: %w", err)
	}
	return hex.EncodeToString(sum.Sum(nil))[:12], nil
}
