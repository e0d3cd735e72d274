package settings

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// inFile writes one key with a value as a settings file.
func inFile(name, value string) string {
	section, key, ok := strings.Cut(name, ".")
	if !ok {
		return name + ": " + value + "\n"
	}
	return section + ":\n  " + key + ": " + value + "\n"
}

// Every setting refuses what cannot be right, in the file with line and column, in
// the environment with the variable's name, by the same words and with what to do.
func TestEveryKeyRefusesByFileAndEnvironment(t *testing.T) {
	wrong := map[string]string{
		"contact": "harbour", "source": "almanac", "units": "imperial", "timeout": "soon", "tries": "many", "age.today": "old", "age.later": "older",
		"openmeteo.url": "ftp://x.example", "openmeteo.ensemble_url": "x.example", "openmeteo.key": "clé", "openmeteo.models": "Icon!", "metnorway.url": "https://",
		"nws.url": "https://a:b@x.example", "mail.host": "mail/x", "mail.tls": "ssl", "mail.from": "harbour", "mail.to": "a@b.example;c", "mail.user": "naïve",
		"mail.password": "", "webhook.url": "http://x.example", "webhook.secret": "short", "webhook.private": "perhaps", "products": "",
	}
	for _, k := range Keys() {
		value, ok := wrong[k.Name]
		require.True(t, ok, "a setting without a test here: %s", k.Name)
		if value == "" {
			continue // anything that can stand on a line may be right
		}
		dir := home(t, inFile(k.Name, value))
		_, err := Load("")
		var byFile, byVariable *Error
		require.ErrorAs(t, err, &byFile, k.Name)
		line, column := 1, len(k.Name)+3
		if _, key, ok := strings.Cut(k.Name, "."); ok {
			line, column = 2, len(key)+5
		}
		assert.Equal(t, fmt.Sprintf("%s:%d:%d", filepath.Join(dir, "settings.yaml"), line, column), byFile.Where, k.Name)

		home(t, "")
		t.Setenv(k.Env, value)
		_, err = Load("")
		require.ErrorAs(t, err, &byVariable, k.Name)
		assert.Equal(t, k.Env, byVariable.Where)
		assert.Equal(t, byFile.Text, byVariable.Text)
		assert.Equal(t, byFile.Fix, byVariable.Fix)
		assert.NotEmpty(t, byFile.Fix)
		assert.True(t, strings.HasPrefix(byFile.Text, k.Name+" "), "%s says which it is", byFile.Text)
	}
}

// A value in the environment outranks the file, even a wrong one there, for every key.
func TestEnvironmentOutranksTheFile(t *testing.T) {
	good := map[string]string{
		"contact": "a@b.example", "source": "nws", "units": "us", "timeout": "7s", "tries": "5", "age.today": "2h", "age.later": "40h",
		"openmeteo.url": "https://o.example", "openmeteo.ensemble_url": "https://e.example", "openmeteo.key": "0123", "openmeteo.models": "icon_seamless",
		"metnorway.url": "https://m.example", "nws.url": "https://n.example", "mail.host": "m.example", "mail.tls": "none", "mail.from": "a@b.example",
		"mail.to": "c@d.example", "mail.user": "0777", "mail.password": "1e5", "webhook.url": "https://w.example", "webhook.secret": "12345678901234567890",
		"webhook.private": "true", "products": "/p.yaml",
	}
	for _, k := range Keys() {
		home(t, inFile(k.Name, "1.5"))
		t.Setenv(k.Env, good[k.Name])
		_, err := Load("")
		assert.NoError(t, err, k.Name)
	}
	// And what is good in the environment is as good in the file, and the same.
	home(t, "")
	for _, k := range Keys() {
		t.Setenv(k.Env, good[k.Name])
	}
	byVariable := load(t)
	var file strings.Builder
	for _, section := range []string{"", "age", "openmeteo", "metnorway", "nws", "mail", "webhook"} {
		if section != "" {
			fmt.Fprintln(&file, section+":")
		}
		for _, k := range Keys() {
			head, key, ok := strings.Cut(k.Name, ".")
			switch {
			case !ok && section == "":
				fmt.Fprintf(&file, "%s: %s\n", k.Name, good[k.Name])
			case ok && head == section:
				fmt.Fprintf(&file, "  %s: %s\n", key, good[k.Name])
			}
		}
	}
	home(t, file.String())
	byFile := load(t)
	byFile.File, byFile.FileFound, byFile.Home, byFile.Cache = byVariable.File, byVariable.FileFound, byVariable.Home, byVariable.Cache
	assert.Equal(t, byVariable, byFile)
}

// A password of digits is what stands there, not the number that YAML reads in it.
func TestTextsOfDigitsAreTexts(t *testing.T) {
	for _, text := range []string{"0123", "1e5", "0x1F", "12345678901234567890123", "1_000", "007", "true", "1.50", ".inf"} {
		home(t, "mail: {user: "+text+", password: "+text+"}\nopenmeteo: {key: "+text+"}\n")
		s := load(t)
		assert.Equal(t, text, string(s.Mail.Password))
		assert.Equal(t, text, s.Mail.User)
		assert.Equal(t, text, string(s.OpenMeteo.Key))
	}
	for _, null := range []string{"", "~", "null"} {
		home(t, "source: "+null+"\ntries: "+null+"\n")
		s := load(t)
		assert.Equal(t, "auto", s.Source, "nothing said is the default")
		assert.Equal(t, 3, s.Tries)
	}
}

// What is nearly right is not taken for something else.
func TestNothingIsBentIntoShape(t *testing.T) {
	for text, says := range map[string]string{
		"tries: 2.9\n":                       "tries is not a whole number",
		"tries: true\n":                      "tries is not a whole number",
		"tries: -1\n":                        "tries -1 is out of range",
		"tries: 99999999999999999999\n":      "tries is not a whole number",
		"timeout: 20\n":                      "timeout is not a time span",
		"timeout: 20000000000\n":             "timeout is not a time span",
		"timeout: 2.5e9\n":                   "timeout is not a time span",
		"age: {today: 12}\n":                 "age.today is not a time span",
		"age: {later: 1.5}\n":                "age.later is not a time span",
		"webhook: {private: 7}\n":            "webhook.private is neither true nor false",
		"webhook: {private: yes}\n":          "webhook.private is neither true nor false",
		"units: true\n":                      `units "true" is unknown`,
		"openmeteo: {models: [[a]]}\n":       "openmeteo.models is not a list of names",
		"openmeteo: {models: {a: b}}\n":      "openmeteo.models is not a list of names",
		"mail: {to: [a@b.example]}\n":        "mail.to is not a plain text",
		"mail: {password: {a: b}}\n":         "mail.password is not a plain text",
		"contact: [a@b.example]\n":           "contact is not a plain text",
		"products: {a: b}\n":                 "products is not a plain text",
		"webhook: {secret: [a]}\n":           "webhook.secret is not a plain text",
		"contact: 5\n":                       `contact "5" is neither an e-mail address nor a web page`,
		"source: 7\n":                        `source "7" is unknown`,
		"openmeteo: {url: 8080}\n":           "openmeteo.url must begin with http:// or https://",
		"nws:\n  - url: https://x.example\n": "expected keys with values",
	} {
		home(t, text)
		_, err := Load("")
		var e *Error
		if assert.ErrorAs(t, err, &e, text) {
			assert.Equal(t, says, e.Text, text)
			assert.NotEmpty(t, e.Fix)
			assert.NotContains(t, e.Where, "settings.yaml:0", text)
			assert.Contains(t, e.Where, "settings.yaml:", text)
		}
	}
}

// The bounds themselves are allowed, what lies past them is not.
func TestBounds(t *testing.T) {
	list := func(n int) string {
		return "'" + strings.TrimSuffix(strings.Repeat("a@b.example,", n), ",") + "'"
	}
	for text, good := range map[string]bool{
		"timeout: 1s\n": true, "timeout: 999ms\n": false, "timeout: 5m\n": true, "timeout: 5m1ms\n": false,
		"tries: 1\n": true, "tries: 0\n": false, "tries: 10\n": true, "tries: 11\n": false,
		"age: {today: 1h}\n": true, "age: {today: 59m59s}\n": false, "age: {today: 36h}\n": true, "age: {today: 36h1s, later: 40h}\n": false,
		"age: {later: 96h}\n": true, "age: {later: 96h1s}\n": false, "age: {later: 12h}\n": true, "age: {later: 11h59m}\n": false,
		"age: {today: 1h, later: 1h}\n":  true,
		"mail: {to: " + list(20) + "}\n": true, "mail: {to: " + list(21) + "}\n": false,
		"mail: {from: " + list(1) + "}\n": true, "mail: {from: " + list(2) + "}\n": false,
		"mail: {host: 'm.example:1'}\n": true, "mail: {host: 'm.example:0'}\n": false, "mail: {host: 'm.example:65535'}\n": true, "mail: {host: 'm.example:65536'}\n": false,
		"webhook: {secret: " + strings.Repeat("s", 16) + "}\n": true, "webhook: {secret: " + strings.Repeat("s", 15) + "}\n": false,
		"webhook: {secret: " + strings.Repeat("s", 200) + "}\n": true, "webhook: {secret: " + strings.Repeat("s", 201) + "}\n": false,
	} {
		home(t, text)
		_, err := Load("")
		assert.Equal(t, good, err == nil, "%s: %v", text, err)
	}
}

// Spans of time that are written are those in force, whatever their unit.
func TestSpansAreKept(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := time.Duration(rapid.Int64Range(int64(time.Second), int64(5*time.Minute)).Draw(rt, "timeout"))
		n := rapid.IntRange(1, 10).Draw(rt, "tries")
		s := Settings{File: "settings.yaml"}
		require.NoError(rt, s.parse(fmt.Appendf(nil, "timeout: %s\ntries: %d\n", d, n)))
		require.Equal(rt, d, s.Timeout)
		require.Equal(rt, n, s.Tries)
	})
}

// Any text that fits on a line in quotation marks is the password, letter by letter.
func TestPasswordsAreKept(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.StringMatching(`[ -~]{1,40}`).Draw(rt, "password")
		s := Settings{File: "settings.yaml"}
		require.NoError(rt, s.parse([]byte("mail:\n  password: '"+strings.ReplaceAll(text, "'", "''")+"'\n")))
		require.Equal(rt, text, string(s.Mail.Password))
	})
}

// The list of settings is whole and clear: each once, each with a meaning that says
// what its values may be.
func TestKeysAreWhole(t *testing.T) {
	var seen []string
	for _, k := range Keys() {
		assert.NotContains(t, seen, k.Name)
		seen = append(seen, k.Name)
		assert.Equal(t, "DEWGAP_"+strings.ToUpper(strings.ReplaceAll(k.Name, ".", "_")), k.Env)
		assert.NotContains(t, k.Meaning, "\n")
	}
	keys, sections := names()
	assert.Equal(t, seen, keys)
	for _, s := range sections {
		assert.False(t, slices.Contains(keys, s), "%s is a section and a key", s)
	}
}

// An error of the settings tells what lies beneath it.
func TestErrorUnwraps(t *testing.T) {
	dir := home(t, "")
	_, err := Load(filepath.Join(dir, "none.yaml"))
	assert.ErrorContains(t, err, "none.yaml")
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, e.Err, e.Unwrap())
	require.Error(t, e.Unwrap())
	assert.NotContains(t, e.Text, dir, "the path stands before it, once")
}
