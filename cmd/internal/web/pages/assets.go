package pages

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"io/fs"
	"maps"
	"net/http"
	"path"
	"strings"

	"dewgap/cmd/internal/draw"
)

//go:embed assets
var assetFiles embed.FS

// assets are the files beside the pages. Each lies under a folder named by the hash
// of them all, so that it may be kept for ever and a new program has new addresses.
type assets struct {
	hash     string
	files    map[string][]byte
	workerJS []byte
}

var assetTypes = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".svg": "image/svg+xml", ".png": "image/png",
}

func newAssets(version string) (*assets, error) {
	a := &assets{files: map[string][]byte{}}
	err := fs.WalkDir(assetFiles, "assets", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := assetFiles.ReadFile(file)
		a.files[path.Base(file)] = data
		return err
	})
	if err != nil {
		return nil, err
	}
	a.files["app.css"] = append(a.files["app.css"], draw.CSS()...)
	a.files["icon.svg"] = iconSVG()
	icons, err := iconPNGs()
	if err != nil {
		return nil, err
	}
	maps.Copy(a.files, icons)
	sum := sha256.New()
	sum.Write([]byte(version))
	for _, name := range sortedKeys(a.files) {
		sum.Write([]byte(name))
		sum.Write(a.files[name])
	}
	a.hash = hex.EncodeToString(sum.Sum(nil))[:12]
	return a, a.makeWorker()
}

// shell are the files that the service worker keeps from the start.
func (a *assets) shell() []string {
	return []string{"/offline", a.path("app.css"), a.path("app.js"), a.path("icon.svg"), a.path("icon-192.png")}
}

// makeWorker fills the hash and the shell into the service worker.
func (a *assets) makeWorker() error {
	list, err := json.Marshal(a.shell())
	if err != nil {
		return err
	}
	js := bytes.Replace(a.files["sw.js"], []byte(`"VERSION"`), []byte(`"`+a.hash+`"`), 1)
	a.workerJS = bytes.Replace(js, []byte(`["SHELL"]`), list, 1)
	delete(a.files, "sw.js")
	return nil
}

// path is the address of a file.
func (a *assets) path(name string) string { return "/assets/" + a.hash + "/" + name }

// ServeHTTP serves a file; one of an older hash is gone.
func (a *assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name, ok := strings.CutPrefix(r.URL.Path, "/assets/"+a.hash+"/")
	data, found := a.files[name]
	if !ok || !found {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	serve(w, r, assetTypes[path.Ext(name)], data)
}

func serve(w http.ResponseWriter, r *http.Request, kind string, data []byte) {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("X-Content-Type-Options", "nosniff")
	if r.Method == http.MethodHead {
		return
	}
	if _, err := w.Write(data); err != nil {
		return // the reader has gone away
	}
}

// worker serves the service worker, from the root so that it may serve all pages.
func (a *assets) worker(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Cache-Control", "no-cache")
	serve(w, r, assetTypes[".js"], a.workerJS)
}

func (a *assets) favicon(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Cache-Control", "public, max-age=86400")
	serve(w, r, assetTypes[".png"], a.files["icon-180.png"])
}

// manifest makes the site one that a phone can install.
func (a *assets) manifest(w http.ResponseWriter, r *http.Request) {
	type icon struct {
		Src     string `json:"src"`
		Sizes   string `json:"sizes"`
		Type    string `json:"type"`
		Purpose string `json:"purpose,omitempty"`
	}
	data, err := json.Marshal(map[string]any{
		"id": "/", "name": "dewgap", "short_name": "dewgap", "lang": "en", "dir": "ltr",
		"description": "When each step will succeed on each side of the boat, and why",
		"start_url":   "/", "scope": "/", "display": "standalone",
		"background_color": "#ffffff", "theme_color": inkHex,
		"icons": []icon{
			{a.path("icon.svg"), "any", "image/svg+xml", "any"},
			{a.path("icon-192.png"), "192x192", "image/png", "any"},
			{a.path("icon-512.png"), "512x512", "image/png", "any"},
			{a.path("icon-512.png"), "512x512", "image/png", "maskable"},
		},
	})
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Cache-Control", "no-cache")
	serve(w, r, "application/manifest+json", data)
}
