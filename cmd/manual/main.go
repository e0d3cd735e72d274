// Command manual writes what a package of dewgap brings beside the program: a man
// page for every command, and completions for four shells.
//
//	go run ./cmd/manual FOLDER
//
// The pages come from the commands' own help, so they cannot differ from it. The
// program does not link what makes them.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"dewgap/cmd/internal/cli"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "manual:", err)
		os.Exit(1)
	}
}

// epoch dates the pages, so that the same commands give the same bytes.
var epoch = time.Unix(0, 0).UTC()

func run(args []string) error {
	if len(args) != 1 {
		return errors.New("name one folder to write to")
	}
	root := cli.Command(cli.Env{
		Stdout: io.Discard, Stderr: io.Discard, Getenv: func(string) string { return "" },
		Terminal: func() (int, bool) { return 0, false }, Now: time.Now,
	})
	root.DisableAutoGenTag = true
	return errors.Join(pages(root, filepath.Join(args[0], "man")), completions(root, filepath.Join(args[0], "completions")))
}

// pages writes a man page for each command.
func pages(root *cobra.Command, folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	return doc.GenManTree(root, &doc.GenManHeader{Title: "DEWGAP", Section: "1", Source: "dewgap", Manual: "dewgap", Date: &epoch}, folder)
}

// completions writes what each shell completes by.
func completions(root *cobra.Command, folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	return errors.Join(
		root.GenBashCompletionFileV2(filepath.Join(folder, "dewgap.bash"), true),
		root.GenZshCompletionFile(filepath.Join(folder, "_dewgap")),
		root.GenFishCompletionFile(filepath.Join(folder, "dewgap.fish"), true),
		root.GenPowerShellCompletionFileWithDesc(filepath.Join(folder, "dewgap.ps1")),
	)
}
