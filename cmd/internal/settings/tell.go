package settings

import (
	"fmt"
	"net"
	"net/mail"
	"net/url"
	"strconv"
	"strings"
	"unicode"
)

// Mail is how mail is sent.
type Mail struct {
	Host     string `mapstructure:"host"`     // name or address, with :port where it is not the usual one; "": no mail
	TLS      string `mapstructure:"tls"`      // StartTLS, TLS or NoTLS
	From     string `mapstructure:"from"`     // one address
	To       string `mapstructure:"to"`       // addresses separated by commas
	User     string `mapstructure:"user"`     // "": without signing in
	Password Secret `mapstructure:"password"` // of User
}

// The ways in which mail is kept secret on its way to the server.
const (
	StartTLS = "starttls" // asked for, and nothing is sent without
	TLS      = "tls"      // from the first byte
	NoTLS    = "none"     // for a server on the same computer
)

// Webhook is an address that is told of changes.
type Webhook struct {
	URL     string `mapstructure:"url"`     // https, "" for none
	Secret  Secret `mapstructure:"secret"`  // that signs what is told
	Private bool   `mapstructure:"private"` // it may be of the person's own network, and http
}

// mostAddresses is how many people mail is sent to at most.
const mostAddresses = 20

func wrongMailHost(host *string) string {
	*host = strings.TrimSpace(*host)
	if *host == "" {
		return ""
	}
	none := fmt.Sprintf("%q is no server's name", *host)
	if strings.ContainsAny(*host, "/@ ?#") || unprintable(*host) != "" {
		return none
	}
	name := *host
	if h, port, err := net.SplitHostPort(*host); err == nil {
		if n, err := strconv.Atoi(port); err != nil || n < 1 || n > 65535 {
			return fmt.Sprintf("has the port %q", port)
		}
		name = h
	}
	if name == "" || strings.ContainsAny(name, "[]") || strings.Contains(name, ":") && net.ParseIP(name) == nil {
		return none
	}
	return ""
}

func wrongTLS(v *string) string {
	*v = tidy(*v)
	return notOneOf(*v, []string{StartTLS, TLS, NoTLS})
}

// Addresses are the mail addresses of a list that is separated by commas.
func Addresses(list string) ([]string, error) {
	if strings.TrimSpace(list) == "" {
		return nil, nil
	}
	if onSeveralLines(list) != "" {
		return nil, fmt.Errorf("%q has several lines", list)
	}
	parsed, err := mail.ParseAddressList(list)
	if err != nil {
		return nil, fmt.Errorf("%q is no list of mail addresses", list)
	}
	var out []string
	for _, a := range parsed {
		out = append(out, a.Address)
	}
	return out, nil
}

func wrongAddresses(list string, most int) string {
	out, err := Addresses(list)
	switch {
	case err != nil:
		return err.Error()
	case len(out) > most:
		return fmt.Sprintf("has %d addresses, at most %d", len(out), most)
	}
	return ""
}

func onSeveralLines(s string) string {
	if strings.ContainsFunc(s, unicode.IsControl) {
		return "holds a line break or another control character"
	}
	return ""
}

// WrongWebhook tells what is wrong with the address of a webhook, "" if nothing is.
// It does not repeat the address, which may hold a secret.
func WrongWebhook(address string, private bool) string {
	if address == "" {
		return ""
	}
	u, err := url.Parse(address)
	switch {
	case err != nil || onSeveralLines(address) != "":
		return "is not an address"
	case u.Scheme != "https" && u.Scheme != "http":
		return "must begin with https://"
	case u.Scheme == "http" && !private:
		return "must begin with https:// unless webhook.private allows http"
	case u.Hostname() == "":
		return "names no host"
	case u.User != nil:
		return "must not hold a user name or password"
	case u.Fragment != "":
		return "must end before any #"
	}
	return ""
}

// The length of a secret that signs.
const (
	shortestSecret = 16
	longestSecret  = 200
)

func wrongSecret(s string) string {
	switch {
	case s == "":
		return ""
	case len(s) < shortestSecret || len(s) > longestSecret:
		return fmt.Sprintf("has %d characters", len(s))
	case strings.ContainsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || unicode.IsControl(r) }):
		return "holds blanks"
	}
	return ""
}
