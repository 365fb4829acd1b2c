package job

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestTheNamesOfWindowsDevicesAreKnownWhateverEndsThem(t *testing.T) {
	for _, name := range []string{"con", "CON.html", "reports/aux.json", "nul.tar.gz", "Com1.html", "lpt9", "prn .html", "com²"} {
		assert.True(t, Device(name), name)
	}
	for _, name := range []string{"conrad.html", "con/mina.html", "com.html", "com10.html", "my con.html", ".con"} {
		assert.False(t, Device(name), name)
	}
}
