package main

import (
	"cmp"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"reflect"
	"strings"
	"time"

	"github.com/kelseyhightower/envconfig"
)

// settings are what the agent takes from its environment, each with the prefix FETTLE_. Printers and keys are no
// settings: a person makes them.
type settings struct {
	Listen        string        `split_words:"true" default:"127.0.0.1:7340" unit:"host:port" says:"where the API listens; no host is every address of this computer; the demo takes loopback only"`
	Names         []string      `split_words:"true" default:"" unit:"names, with commas" says:"by which the agent may be called, beside its addresses and its computer's name with .local"`
	StopOpen      bool          `split_words:"true" default:"true" unit:"true or false" says:"whether Stop may be pressed by anybody who can reach the agent"`
	TLS           string        `split_words:"true" default:"off" unit:"off, own or files" says:"TLS: none, with a certificate that the agent makes for itself, or with the two files below"`
	TLSCert       string        `split_words:"true" default:"" unit:"PEM file" says:"your certificate, for FETTLE_TLS=files"`
	TLSKey        string        `split_words:"true" default:"" unit:"PEM file" says:"its key, for FETTLE_TLS=files"`
	Data          string        `split_words:"true" default:"fettle-data" unit:"folder" says:"where the logbook lives; made if missing"`
	LogLevel      string        `split_words:"true" default:"info" unit:"debug, info, warn or error" says:"how much is told on stderr"`
	Silence       time.Duration `split_words:"true" default:"5s" unit:"duration" says:"silence of a printer after which its line is out of step; 1s to 60s"`
	AttendedLimit time.Duration `split_words:"true" default:"10m" unit:"duration" says:"how long a heater stays on while a question waits; 2m to 30m"`
	Speedup       float64       `split_words:"true" default:"10" unit:"factor" says:"demo only: how much faster than real time the stand-in printer lives; 1 to 100"`
}

const prefix = "FETTLE"

// errSetting marks a setting that is wrong or misspelt.
var errSetting = errors.New("setting")

// readSettings reads the environment. Its error names the variable and what would be accepted.
func readSettings() (settings, error) {
	var s settings
	if err := envconfig.CheckDisallowed(prefix, &s); err != nil {
		return s, fmt.Errorf("%w: %w; there are %s", errSetting, err, strings.Join(settingNames(), ", "))
	}
	if err := envconfig.Process(prefix, &s); err != nil {
		var parse *envconfig.ParseError
		if errors.As(err, &parse) {
			return s, refuse(parse.KeyName, parse.Value, acceptedBy(parse.KeyName))
		}
		return s, fmt.Errorf("%w: %w", errSetting, err)
	}
	return s, s.validate()
}

// acceptedBy says what a setting takes, in the words of help: "duration, such as 5s".
func acceptedBy(name string) string {
	for _, f := range reflect.VisibleFields(reflect.TypeFor[settings]()) {
		if envName(f.Name) == name {
			return f.Tag.Get("unit") + ", such as " + f.Tag.Get("default")
		}
	}
	return "what agent help says"
}

func refuse(name, value, accept string) error {
	return fmt.Errorf("%w: %s is %q; accepted: %s", errSetting, name, value, accept)
}

func (s settings) validate() error {
	return cmp.Or(s.validateListen(), s.validateNames(), s.validateTLS(), s.validateLevel(),
		within("FETTLE_SILENCE", s.Silence, time.Second, time.Minute),
		within("FETTLE_ATTENDED_LIMIT", s.AttendedLimit, 2*time.Minute, 30*time.Minute),
		within("FETTLE_SPEEDUP", s.Speedup, 1, 100))
}

func within[T cmp.Ordered](name string, v, low, high T) error {
	if v >= low && v <= high {
		return nil
	}
	return refuse(name, fmt.Sprint(v), fmt.Sprintf("%v to %v", low, high))
}

func (s settings) validateLevel() error {
	if _, err := s.level(); err != nil {
		return refuse("FETTLE_LOG_LEVEL", s.LogLevel, "debug, info, warn or error")
	}
	return nil
}

func (s settings) level() (slog.Level, error) {
	var level slog.Level
	err := level.UnmarshalText([]byte(s.LogLevel))
	return level, err
}

// described lists each setting with its unit, its default and what it is for.
func described() string {
	var out strings.Builder
	for _, f := range reflect.VisibleFields(reflect.TypeFor[settings]()) {
		fmt.Fprintf(&out, "  %-22s %s\n  %22s unit: %s; default: %s\n", envName(f.Name), f.Tag.Get("says"), "",
			f.Tag.Get("unit"), cmp.Or(f.Tag.Get("default"), "none"))
	}
	return out.String()
}

func settingNames() []string {
	var names []string
	for _, f := range reflect.VisibleFields(reflect.TypeFor[settings]()) {
		names = append(names, envName(f.Name))
	}
	return names
}

// envName is a field's variable: words in capitals, joined by underscores. TLSCert is two words.
func envName(field string) string {
	var out strings.Builder
	out.WriteString(prefix + "_")
	small := func(i int) bool { return i >= 0 && i < len(field) && field[i] >= 'a' && field[i] <= 'z' }
	for i, c := range field {
		if i > 0 && !small(i) && (small(i-1) || small(i+1)) {
			out.WriteByte('_')
		}
		out.WriteString(strings.ToUpper(string(c)))
	}
	return out.String()
}

// makeData makes the data folder, for its owner alone.
func makeData(folder string) error {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return fmt.Errorf("make the data folder: %w", err)
	}
	return nil
}
