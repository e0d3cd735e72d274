package book

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"
)

func itoa(n int) string { return strconv.Itoa(n) }

// writer records by chance, as a season of work does: mostly readings and work,
// now and then an answer with its forecast, a plan, an outcome or a correction.
type writer struct {
	r    *rand.Rand
	n    int
	job  Key
	done []Key
}

func newWriter(r *rand.Rand) *writer { return &writer{r: r} }

// ack is one acknowledged row.
type ack struct {
	table string
	key   Key
}

// step does one call of Record and tells what it added.
func (w *writer) step(ctx context.Context, b *Book) (acks []ack, err error) {
	w.n++
	err = b.Record(ctx, func(tx *Tx) error {
		acks = acks[:0]
		note := func(table string, key Key, err error) error {
			acks = append(acks, ack{table, key})
			return err
		}
		if w.job == "" {
			row, err := addJob(tx, "Season", kittiwake(), fmt.Sprintf("people: %d\n", w.r.IntN(100)))
			w.job = row.Key
			return note("jobs", row.Key, err)
		}
		switch w.r.IntN(8) {
		case 0, 1, 2:
			row, err := tx.AddReading(w.reading())
			return note("readings", row.Key, err)
		case 3:
			return w.answer(tx, note)
		case 4:
			row, err := tx.AddOutcome(Outcome{Job: w.job, Step: "seal", Zone: w.zone(), Found: FoundOK, At: w.moment()})
			return note("outcomes", row.Key, err)
		case 5:
			if len(w.done) > 0 {
				return w.correct(tx, note)
			}
			fallthrough
		default:
			row, err := tx.AddDone(Done{Job: w.job, Step: "seal", Zone: w.zone(), Share: 1 - w.r.Float64(), At: w.moment(), Note: strconv.Itoa(w.n)})
			w.done = append(w.done, row.Key)
			return note("done", row.Key, err)
		}
	})
	return acks, err
}

func (w *writer) correct(tx *Tx, note func(string, Key, error) error) error {
	d := Done{Job: w.job, Step: "seal", Zone: w.zone(), Share: 1, At: w.moment()}
	d.Supersedes, d.Void = w.done[len(w.done)-1], w.r.IntN(2) == 0
	row, err := tx.AddDone(d)
	w.done = w.done[:len(w.done)-1]
	return note("done", row.Key, err)
}

// answer adds a forecast, the answer made from it, and its plan.
func (w *writer) answer(tx *Tx, note func(string, Key, error) error) error {
	fc, err := tx.AddBody(w.bytes())
	if err := note("bodies", fc, err); err != nil {
		return err
	}
	f, err := tx.AddForecast(Forecast{Service: "NWS", Fetched: w.moment(), Body: fc})
	if err := note("forecasts", f.Key, err); err != nil {
		return err
	}
	body, err := tx.AddBody(fmt.Appendf(nil, `{"format":"dewgap.week.v1","n":%d}`, w.n))
	if err := note("bodies", body, err); err != nil {
		return err
	}
	a, err := tx.AddAnswer(Answer{Kind: Week, Job: w.job, Forecast: f.Key, At: w.moment(), Program: "1", Catalogue: "0", Body: body})
	if err := note("answers", a.Key, err); err != nil {
		return err
	}
	p, err := tx.AddPlan(Plan{Job: w.job, Answer: a.Key, At: w.moment(), Body: body})
	return note("plans", p.Key, err)
}

func (w *writer) reading() Reading {
	return Reading{Job: w.job, At: w.moment(), Zone: w.zone(), AirC: some(w.r.NormFloat64()), Note: strconv.Itoa(w.n)}
}

func (w *writer) zone() string { return []string{"port side", "foredeck", "露"}[w.r.IntN(3)] }

func (w *writer) moment() time.Time { return dawn.Add(time.Duration(w.r.IntN(1e6)) * time.Second) }

// bytes are up to 60 kB, half of them noise that does not compress.
func (w *writer) bytes() []byte {
	out := bytes.Repeat([]byte("hourly "), w.r.IntN(4000))
	for range w.r.IntN(30_000) {
		out = append(out, byte(w.r.Uint32()))
	}
	return out
}

// The environment by which this test binary becomes another program that writes.
const (
	writesTo    = "DEWGAP_TEST_BOOK"
	writesSeed  = "DEWGAP_TEST_SEED"
	writesCount = "DEWGAP_TEST_COUNT"
)

func TestMain(m *testing.M) {
	if path := os.Getenv(writesTo); path != "" {
		os.Exit(writeForEver(path))
	}
	os.Exit(m.Run())
}

// writeForEver records and tells each row once it is acknowledged, with the size
// of the log by then.
func writeForEver(path string) int {
	seed, _ := strconv.ParseUint(os.Getenv(writesSeed), 10, 64)
	count, _ := strconv.Atoi(os.Getenv(writesCount))
	fail := func(err error) int {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	ctx := context.Background()
	b, err := Open(ctx, path, time.Now)
	if err != nil {
		return fail(err)
	}
	w := newWriter(rand.New(rand.NewPCG(seed, 2)))
	for range count {
		acks, err := w.step(ctx, b)
		if err != nil {
			return fail(err)
		}
		var size int64
		if info, err := os.Stat(path + "-wal"); err == nil {
			size = info.Size()
		}
		var out strings.Builder
		for _, a := range acks {
			fmt.Fprintf(&out, "%s %s %d\n", a.table, a.key, size)
		}
		os.Stdout.WriteString(out.String())
	}
	if os.Getenv("DEWGAP_TEST_STAY") != "" {
		fmt.Println("end")
		time.Sleep(time.Minute)
	}
	if err := b.Close(); err != nil {
		return fail(err)
	}
	return 0
}

// program is another program that writes a book.
func program(t testing.TB, path string, seed uint64, count int) *exec.Cmd {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self)
	c.Env = append(os.Environ(), writesTo+"="+path, fmt.Sprintf("%s=%d", writesSeed, seed), fmt.Sprintf("%s=%d", writesCount, count))
	return c
}

// acked reads what a program told, whole lines only.
func acked(out []byte) (list []ack, sizes []int64) {
	for line := range strings.Lines(string(out)) {
		var a ack
		var size int64
		if n, _ := fmt.Sscanf(line, "%s %s %d\n", &a.table, &a.key, &size); n == 3 && strings.HasSuffix(line, "\n") {
			list, sizes = append(list, a), append(sizes, size)
		}
	}
	return list, sizes
}
