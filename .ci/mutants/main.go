// Command mutants asks whether tests notice mistakes: it changes one operator, bound
// or constant of a package at a time, runs the tests that ought to mind, and lists
// the changes that nobody minded.
//
//	go run ./.ci/mutants [-n 60] [-seed 1] FOLDER TEST-PACKAGE...
//
// The tree is left alone: each change reaches the compiler by -overlay. The tests of
// the packages run one after the other until one fails. Deterministic for a seed.
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// mutant is one change of one file.
type mutant struct {
	file     string
	at       token.Position
	from, to string
}

// instead is what an operator is changed to.
var instead = map[token.Token][]string{
	token.LSS: {"<=", ">="}, token.LEQ: {"<", ">"}, token.GTR: {">=", "<="}, token.GEQ: {">", "<"},
	token.EQL: {"!="}, token.NEQ: {"=="}, token.LAND: {"||"}, token.LOR: {"&&"},
	token.ADD: {"-"}, token.SUB: {"+"}, token.MUL: {"/"}, token.QUO: {"*"},
}

func main() {
	n := flag.Int("n", 60, "mutants to try")
	seed := flag.Uint64("seed", 1, "which ones")
	flag.Parse()
	if flag.NArg() < 2 {
		fmt.Fprintln(os.Stderr, "usage: mutants [-n 60] [-seed 1] FOLDER TEST-PACKAGE...")
		os.Exit(2)
	}
	all, err := mutants(flag.Arg(0))
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(1)
	}
	rand.New(rand.NewPCG(*seed, 0)).Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	fmt.Printf("%d places in %s, %d tried\n", len(all), flag.Arg(0), min(*n, len(all)))
	killed, silly := 0, 0
	for _, m := range all[:min(*n, len(all))] {
		switch m.try(flag.Args()[1:]) {
		case "killed":
			killed++
		case "silly":
			silly++
		default:
			fmt.Printf("LIVES %s:%d:%d  %s -> %s\n", m.at.Filename, m.at.Line, m.at.Column, m.from, m.to)
		}
	}
	fmt.Printf("%d killed, %d do not compile, %d live\n", killed, silly, min(*n, len(all))-killed-silly)
}

// mutants lists the changes that can be made to a package.
func mutants(folder string) ([]mutant, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		return nil, err
	}
	var out []mutant
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		set := token.NewFileSet()
		tree, err := parser.ParseFile(set, file, nil, 0)
		if err != nil {
			return nil, err
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			switch x := n.(type) {
			case *ast.BinaryExpr:
				for _, to := range instead[x.Op] {
					out = append(out, mutant{file, set.Position(x.OpPos), x.Op.String(), to})
				}
			case *ast.BasicLit:
				if x.Kind == token.INT && len(x.Value) < 4 {
					out = append(out, mutant{file, set.Position(x.Pos()), x.Value, "(" + x.Value + "+1)"})
				}
			case *ast.Ident:
				if x.Name == "true" {
					out = append(out, mutant{file, set.Position(x.Pos()), "true", "false"})
				}
			case *ast.BranchStmt:
				if x.Label == nil && x.Tok == token.CONTINUE {
					out = append(out, mutant{file, set.Position(x.Pos()), "continue", "break"})
				}
			}
			return true
		})
	}
	return out, nil
}

// try runs the tests over the change: "killed", "silly" where it does not compile,
// else "lives".
func (m mutant) try(packages []string) string {
	tmp, err := os.MkdirTemp("", "mutant")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(tmp)
	source, err := os.ReadFile(m.file)
	if err != nil {
		panic(err)
	}
	text := string(source[:m.at.Offset]) + m.to + string(source[m.at.Offset+len(m.from):])
	changed, overlay := filepath.Join(tmp, "changed.go"), filepath.Join(tmp, "overlay.json")
	original, err := filepath.Abs(m.file)
	if err != nil {
		panic(err)
	}
	list, err := json.Marshal(map[string]map[string]string{"Replace": {original: changed}})
	if err != nil {
		panic(err)
	}
	for name, data := range map[string][]byte{changed: []byte(text), overlay: list} {
		if err := os.WriteFile(name, data, 0o600); err != nil {
			panic(err)
		}
	}
	if exec.Command("go", "build", "-overlay", overlay, "./"+filepath.Dir(m.file)).Run() != nil {
		return "silly"
	}
	for _, p := range packages {
		c := exec.Command("go", "test", "-failfast", "-timeout", "90s", "-overlay", overlay, p)
		c.WaitDelay = time.Second
		if c.Run() != nil {
			return "killed"
		}
	}
	return "lives"
}
