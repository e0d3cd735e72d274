// Package browser holds tests alone: it starts dewgap serve as a person does, opens
// its pages in a real Chromium, and does there what a person does, by finger at 360
// pixels and by mouse at 1280. What no test of the HTML can know is looked at here:
// whether a click arrives, a copy is there without a connection, a sheet fits on its
// paper, a script may run, a target is large enough for a thumb, and what axe-core
// has to say.
//
// Without a Chromium the tests are skipped, and say so; .ci/browser installs one. The
// checks by axe-core need its file too, which .ci/axe fetches; its licence is the
// MPL-2.0, so that it stays outside of the repository.
//
// Nothing here sleeps: every wait is for a condition, by [testing.T]'s deadline.
package browser
