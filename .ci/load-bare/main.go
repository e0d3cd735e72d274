// Command load-bare serves one page of so many bytes with net/http and nothing else:
// what .ci/load sets the speed of dewgap serve against.
//
//	go run ./.ci/load-bare 127.0.0.1:8031 96000
package main

import (
	"bytes"
	"fmt"
	"log"
	"net/http"
	"os"
	"strconv"
	"time"
)

func main() {
	if len(os.Args) != 3 {
		log.Fatal("give an address and a number of bytes")
	}
	size, err := strconv.Atoi(os.Args[2])
	if err != nil || size < 0 {
		log.Fatalf("%s is no number of bytes", os.Args[2])
	}
	page := bytes.Repeat([]byte("<p>dewgap\n"), size/10+1)[:size]
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Header().Set("Content-Length", strconv.Itoa(len(page)))
		_, _ = w.Write(page) // the client may have gone
	})
	fmt.Println("serving", size, "bytes at", os.Args[1])
	srv := &http.Server{Addr: os.Args[1], Handler: mux, ReadHeaderTimeout: 5 * time.Second}
	log.Fatal(srv.ListenAndServe())
}
