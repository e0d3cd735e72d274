package settings

import (
	"slices"
	"strings"

	"dewgap/window/job"

	"github.com/spf13/viper"
)

// Key is one setting: how it is written in the settings file and in the
// environment, its default, and what it means. Help and messages are made
// from this list.
type Key struct {
	Name    string // in the file; a dot stands for a level: openmeteo.url
	Env     string // environment variable, which outranks the file
	Default any    // "" where nothing is set
	Meaning string // one line
	Secret  bool   // not shown, and kept from programs that are run
}

// Keys are all settings, in the order of a person's needs.
func Keys() []Key {
	return []Key{
		key("contact", "", "your e-mail address or web page, told to the weather services; MET Norway refuses to answer without"),
		key("source", "auto", "where forecasts come from: auto, nws, metnorway, openmeteo or openmeteo-ensemble"),
		key("units", "metric", "units on screen: metric or us"),
		key("products", "", "file with your own products"),
		key("timeout", "20s", "longest time for one question to a service, 1s to 5m"),
		key("tries", 3, "how often a service is asked at most, 1 to 10"),
		key("age.today", "12h", "age above which a forecast says nothing of today any more, 1h to 36h"),
		key("age.later", "36h", "age above which it says nothing of any day any more, 1h to 96h"),
		key("openmeteo.url", "", "address of your own or another Open-Meteo host"),
		key("openmeteo.ensemble_url", "", "the same for its ensembles, if different"),
		secret("openmeteo.key", "your Open-Meteo key; the free host is for non-commercial use only"),
		key("openmeteo.models", []string{}, "Open-Meteo models, separated by commas; empty leaves the choice to it"),
		key("metnorway.url", "", "address of another MET Norway host"),
		key("nws.url", "", "address of another NWS host"),
		key("mail.host", "", "mail server by which dewgap watch sends mail, with :port if it is not the usual one"),
		key("mail.tls", "starttls", "how mail is kept secret on its way: starttls, tls or none"),
		key("mail.from", "", "address that mail comes from"),
		key("mail.to", "", "addresses that dewgap watch sends mail to, separated by commas"),
		key("mail.user", "", "name to sign in to the mail server with"),
		secret("mail.password", "password to sign in to the mail server with; better in the environment than in a file"),
		key("webhook.url", "", "address that dewgap watch tells of changes, https only"),
		secret("webhook.secret", "secret of at least 16 characters by which it knows that it was dewgap"),
		key("webhook.private", false, "whether that address may be of your own network, and http"),
	}
}

// HomeEnv names the folder for everything dewgap keeps: settings, cache, book.
// It is an environment variable only, for it tells where the file is.
const HomeEnv = "DEWGAP_HOME"

func key(name string, otherwise any, meaning string) Key {
	env := "DEWGAP_" + strings.ToUpper(strings.ReplaceAll(name, ".", "_"))
	return Key{Name: name, Env: env, Default: otherwise, Meaning: meaning}
}

func secret(name, meaning string) Key {
	k := key(name, "", meaning)
	k.Secret = true
	return k
}

// misspelt warns of variables that were probably meant as settings, for nobody reads
// them; environ is as os.Environ gives it.
func misspelt(environ []string) []string {
	const ours = "DEWGAP_"
	known := []string{strings.TrimPrefix(HomeEnv, ours)}
	for _, k := range Keys() {
		known = append(known, strings.TrimPrefix(k.Env, ours))
	}
	var out []string
	for _, pair := range environ {
		name, _, _ := strings.Cut(pair, "=")
		word, is := strings.CutPrefix(name, ours)
		if !is || slices.Contains(known, word) {
			continue
		}
		if near := job.Nearest(word, known); near != "" {
			out = append(out, name+" is no setting and does nothing: did you mean "+ours+near+"?")
		}
	}
	slices.Sort(out)
	return out
}

// newViper knows every key by default, for viper loses an environment variable
// whose key it has never heard of.
func newViper() *viper.Viper {
	v := viper.New()
	v.SetConfigType("yaml")
	for _, k := range Keys() {
		v.SetDefault(k.Name, k.Default)
		// BindEnv fails only without a key.
		_ = v.BindEnv(k.Name, k.Env)
	}
	return v
}

// names are the known keys and, for each dot, the section before it.
func names() (keys, sections []string) {
	for _, k := range Keys() {
		keys = append(keys, k.Name)
		if section, _, ok := strings.Cut(k.Name, "."); ok && !slices.Contains(sections, section) {
			sections = append(sections, section)
		}
	}
	return keys, sections
}
