package prose

import (
	"encoding/json"

	"fyne.io/fyne/v2/lang"

	"endpin/piece/words"
)

// toolkit are the words that the window's toolkit says by itself, by the keys that it
// knows them by, each with ours: on its dialogues for files, on Yes and No, and in the
// menu of a line that is typed in.
var toolkit = map[string]string{
	"Yes": "window.toolkit.yes", "No": "window.toolkit.no", "OK": "window.toolkit.ok", "Cancel": "window.toolkit.cancel",
	"Open": "window.toolkit.open", "File": "window.toolkit.file", "Folder": "window.toolkit.folder",
	"file.name": "window.toolkit.name", "file.parent": "window.toolkit.parent",
	"New Folder": "window.toolkit.new-folder", "Create Folder": "window.toolkit.create-folder", "Show Hidden Files": "window.toolkit.hidden-files",
	"Cut": "window.toolkit.cut", "Copy": "window.toolkit.copy", "Paste": "window.toolkit.paste", "Select all": "window.toolkit.select-all",
	"Undo": "window.toolkit.undo", "Redo": "window.toolkit.redo", "Quit": "window.toolkit.quit",
}

// Speak has the toolkit say them in the language that the program speaks, whichever
// the system's is: the toolkit has words of its own for that one, and a window would
// speak two.
func Speak() {
	said := map[string]string{}
	for theirs, ours := range toolkit {
		said[theirs] = words.Say(ours)
	}
	if text, err := json.Marshal(said); err == nil {
		_ = lang.AddTranslationsForLocale(text, lang.SystemLocale()) // where it cannot, it goes on in the system's language
	}
}
