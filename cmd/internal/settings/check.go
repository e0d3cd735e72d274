package settings

import (
	"fmt"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"

	"dewgap/forecast/fetch"
	"dewgap/forecast/source"
)

// check refuses values that cannot be right and brings the others into shape.
func (s *Settings) check(in positions) error {
	s.Source, s.Units = tidy(s.Source), tidy(s.Units)
	s.Contact = strings.TrimSpace(s.Contact)
	s.OpenMeteo.Key = Secret(strings.TrimSpace(string(s.OpenMeteo.Key)))
	for _, c := range []struct {
		key   string
		wrong string // "" if it is right
		fix   string
	}{
		{"contact", wrongContact(s.Contact), "give an e-mail address or the address of a web page where you can be reached"},
		{"source", notOneOf(s.Source, source.Names()), "choose one of " + strings.Join(source.Names(), ", ")},
		{"units", notOneOf(s.Units, []string{Metric, US}), "choose metric or us"},
		{"timeout", wrongTimeout(s.Timeout), "write a time span with its unit from 1s to 5m, as 20s"},
		{"tries", wrongTries(s.Tries), "write a number from 1 to 10"},
		{"age.today", wrongAge(s.Age.Today, 36*time.Hour), "write a time span with its unit from 1h to 36h, as 12h"},
		{"age.later", wrongLater(s.Age), "write a time span with its unit from 1h to 96h, as 36h, and no less than age.today"},
		{"openmeteo.url", wrongURL(&s.OpenMeteo.URL), urlFix},
		{"openmeteo.ensemble_url", wrongURL(&s.OpenMeteo.EnsembleURL), urlFix},
		{"openmeteo.key", unprintable(string(s.OpenMeteo.Key)), "copy the key once more"},
		{"openmeteo.models", wrongModels(s.OpenMeteo.Models), "write names as Open-Meteo does, separated by commas"},
		{"metnorway.url", wrongURL(&s.MetNorway.URL), urlFix},
		{"nws.url", wrongURL(&s.NWS.URL), urlFix},
		{"mail.host", wrongMailHost(&s.Mail.Host), "write the server's name, as mail.otter-quay.example or mail.otter-quay.example:587"},
		{"mail.tls", wrongTLS(&s.Mail.TLS), "choose starttls, tls or none"},
		{"mail.from", wrongAddresses(s.Mail.From, 1), "write one address, as you@example.org"},
		{"mail.to", wrongAddresses(s.Mail.To, mostAddresses), "write addresses, as you@example.org, separated by commas"},
		{"mail.user", unprintable(s.Mail.User), "copy the name once more"},
		{"mail.password", onSeveralLines(string(s.Mail.Password)), "copy the password once more"},
		{"webhook.url", WrongWebhook(s.Webhook.URL, s.Webhook.Private), "write it with https:// before it, without user name or #"},
		{"webhook.secret", wrongSecret(string(s.Webhook.Secret)), "make one of 16 to 200 characters without blanks"},
	} {
		if c.wrong != "" {
			return &Error{Where: in.where(c.key), Text: c.key + " " + c.wrong, Fix: c.fix}
		}
	}
	s.findProducts(in)
	return nil
}

const urlFix = "write the host with http:// or https:// before it, without user name, ? or #; a key goes into openmeteo.key"

func tidy(s string) string { return strings.ToLower(strings.TrimSpace(s)) }

func notOneOf(v string, known []string) string {
	if slices.Contains(known, v) {
		return ""
	}
	return fmt.Sprintf("%q is unknown", v)
}

func wrongTimeout(d time.Duration) string {
	if d < time.Second || d > 5*time.Minute {
		return fetch.Exact(d) + " is out of range"
	}
	return ""
}

// wrongAge bounds how old a forecast may be: below an hour none would ever do,
// for they are made no more often, and a very old one must never do.
func wrongAge(d, most time.Duration) string {
	if d < time.Hour || d > most {
		return fetch.Exact(d) + " is out of range"
	}
	return ""
}

func wrongLater(a Age) string {
	if a.Later < a.Today {
		return fetch.Exact(a.Later) + " is less than age.today, " + fetch.Exact(a.Today)
	}
	return wrongAge(a.Later, 96*time.Hour)
}

func wrongTries(n int) string {
	if n < 1 || n > 10 {
		return fmt.Sprintf("%d is out of range", n)
	}
	return ""
}

func unprintable(s string) string {
	if strings.ContainsFunc(s, func(r rune) bool { return r > unicode.MaxASCII || !unicode.IsPrint(r) }) {
		return "holds characters that cannot be sent"
	}
	return ""
}

// wrongContact wants something that a service's staff can write to: they block
// what only looks like a contact.
func wrongContact(s string) string {
	if s == "" {
		return ""
	}
	if wrong := unprintable(s); wrong != "" {
		return wrong
	}
	name, host, mail := strings.Cut(strings.TrimPrefix(s, "mailto:"), "@")
	u, err := url.Parse(s)
	page := err == nil && (u.Scheme == "https" || u.Scheme == "http") && u.Host != ""
	if page || mail && name != "" && strings.Contains(host, ".") {
		return ""
	}
	return fmt.Sprintf("%q is neither an e-mail address nor a web page", s)
}

// wrongURL checks a host's address and takes the slash off its end. It does
// not repeat the address, which may hold a password.
func wrongURL(address *string) string {
	*address = strings.TrimRight(strings.TrimSpace(*address), "/")
	if *address == "" {
		return ""
	}
	u, err := url.Parse(*address)
	switch {
	case err != nil:
		return "is not an address"
	case u.Scheme != "http" && u.Scheme != "https":
		return "must begin with http:// or https://"
	case u.Hostname() == "":
		return "names no host"
	case u.User != nil:
		return "must not hold a user name or password"
	case u.RawQuery != "" || u.Fragment != "" || u.ForceQuery:
		return "must end before any ? or #"
	}
	return ""
}

func wrongModels(models []string) string {
	for i, m := range models {
		models[i] = strings.TrimSpace(m)
		if models[i] == "" || strings.Trim(models[i], "abcdefghijklmnopqrstuvwxyz0123456789_") != "" {
			return fmt.Sprintf("%q is no model's name", m)
		}
	}
	return ""
}

// findProducts makes the products file's path absolute: from the settings
// file's folder if it is written there, else from where dewgap is run.
func (s *Settings) findProducts(in positions) {
	if s.Products == "" {
		return
	}
	path := s.Products
	fromFile := strings.HasPrefix(in.where("products"), s.File+":")
	if s.File != "" && fromFile && !filepath.IsAbs(path) && !strings.HasPrefix(path, "~/") {
		path = filepath.Join(filepath.Dir(s.File), path)
	}
	s.Products = absolute(path)
}
