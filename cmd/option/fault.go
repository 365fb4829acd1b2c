package option

import (
	"errors"

	"github.com/spf13/pflag"

	"endpin/piece/outside"
	"endpin/piece/words"
)

// Fault is what a user reads of an error in reading options. command is how the
// program's or the command's options are asked for, without --help: "endpin hear"; f are those
// there are.
func Fault(err error, command string, f *pflag.FlagSet) error {
	var unknown *pflag.NotExistError
	var syntax *pflag.InvalidSyntaxError
	var alone *pflag.ValueRequiredError
	var wrong *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		as := "--" + unknown.GetSpecifiedName()
		if letters := unknown.GetSpecifiedShortnames(); letters != "" {
			as = "-" + letters
		}
		meant := ""
		f.VisitAll(func(o *pflag.Flag) {
			if meant == "" && outside.Mistyped(unknown.GetSpecifiedName(), o.Name) {
				meant = o.Name
			}
		})
		if meant != "" {
			return words.Fault("command.no-option.meant", "option", as, "meant", meant, "command", command)
		}
		return words.Fault("command.no-option", "option", as, "command", command)
	case errors.As(err, &syntax):
		return words.Fault("command.no-option", "option", syntax.GetSpecifiedFlag(), "command", command)
	case errors.As(err, &alone):
		value, _ := pflag.UnquoteUsage(alone.GetFlag())
		return words.Fault("command.no-value", "option", alone.GetFlag().Name, "value", value, "command", command)
	case errors.As(err, &wrong):
		o := wrong.GetFlag()
		value, _ := pflag.UnquoteUsage(o)
		key := "command.wrong-value"
		switch o.Value.Type() {
		case "float64":
			key = "command.wrong-value.number"
		case "int":
			key = "command.wrong-value.whole-number"
		case "bool":
			key = "command.wrong-value.bool"
		}
		return words.Fault(key, "option", o.Name, "typed", words.Quoted(wrong.GetValue()), "value", value, "command", command)
	}
	return words.Fault("command.options", "err", err, "command", command) // of the library's own
}
