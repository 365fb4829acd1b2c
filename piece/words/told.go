package words

import "errors"

// Message is an error of a package that knows no words, such as what hears and sounds:
// it names the message that says it, and what stands in its places, as Of takes them.
// A float64 among them is in seconds.
type Message interface {
	error
	Message() (key string, places []any)
}

// Told is an error as it is read, in the language that the program speaks: a Fault as
// it says itself, a Message by what the catalogue says, also where others have wrapped
// it; what the system or another program says as it comes.
func Told(err error) string { return Here().Told(err) }

// Told is an error as it is read in this language.
func (w *Words) Told(err error) string {
	said, ours := sentence(err)
	switch {
	case said.Zero():
		return err.Error()
	case ours != nil && err != error(ours):
		return err.Error() // whoever wrapped it says more
	}
	return said.In(w)
}

// Reason is what is wrong with a file, as it is read where the file is named already:
// what stands in the place "reason" of an error whose "file" it is. Of any other error
// it is all that is told, and about is false.
func Reason(err error, file string) (reason string, about bool) {
	said, _ := sentence(err)
	if why, ok := said.Places["reason"]; ok && said.Places["file"] == file {
		return Here().said(why), true
	}
	return Told(err), false
}

// sentence is what an error says, and the Fault that says it, nil for a Message.
func sentence(err error) (said Sentence, ours *fault) {
	var message Message
	switch {
	case errors.As(err, &ours):
		return ours.said, ours
	case errors.As(err, &message):
		key, places := message.Message()
		said = Of(key, places...)
		for name, what := range said.Places {
			if seconds, ok := what.(float64); ok {
				said.Places[name] = Fixed(seconds, 1)
			}
		}
	}
	return said, nil
}
