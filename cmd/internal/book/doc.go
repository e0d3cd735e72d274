// Package book keeps what a person recorded and what dewgap answered: boats,
// places, jobs, plans and their versions, work done, readings, outcomes, and
// every forecast used, in one SQLite file. It only stores: it knows no weather,
// judges nothing and refuses no reading for what it says.
//
// # What it promises
//
// Nothing recorded is lost. [Book.Record] writes everything that belongs
// together or nothing of it, and when it has returned without an error the
// record is on the disk: the file is in WAL mode, its log is flushed to the disk
// with every commit, and a program killed or a machine that loses its power
// leaves a book that opens again with every acknowledged record in it.
//
// Nothing is changed or deleted. A correction is a new row that names the row it
// supersedes; the old one stays and can be shown. The tables refuse UPDATE and
// DELETE themselves.
//
// A past answer can be shown as it was. An [Answer] refers to its own bytes and
// to everything that it was made from: the job file's bytes, the forecast, the
// readings and the work done that counted, the person's products, the settings,
// the version of the program and the hash of the catalogue. Bytes are kept
// compressed under their SHA-256, each once, and checked against it whenever
// they are read.
//
// A damaged file is noticed. Open checks the file; [Book.Verify] checks
// every page, every reference and every hash. An error says what to do, and
// matches [ErrDamaged], [ErrNotBook], [ErrNewer] and their like.
//
// A book is not a cage. [Book.ExportJSON] writes all of it as one document that
// [Book.Import] reads back, as often as one likes, into a new book or into one
// that has some of it; [Book.ExportCSV] writes a table per file for a
// spreadsheet; [Book.Backup] makes a copy while others write.
//
// # How rows are named
//
// A row has a short number, [Row.ID], for people, good in this one file, and a
// [Key], a hash of what it says, which is the same in every copy. Rows refer to
// each other by key. What goes into an answer (boat, place, job, forecast) is the
// same row whenever it is the same; what happened (answers, plans, work,
// readings, outcomes) is told apart by when it was recorded.
//
// A job is all files with one name for one boat's name, so that work
// done stays done when the file is edited or the boat is measured again.
//
// Several programs may have one book open. They write in turn, and each waits
// for its turn up to ten seconds.
//
// Not here: where the file lies (settings), what goes into it and when (app), and
// how it is shown (cli).
package book
