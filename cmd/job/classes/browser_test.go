package classes

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestABrowserIsFoundWhereASystemPutsItThoughNoPathNamesIt(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	for system, at := range map[string]string{"windows": "Microsoft/Edge/Application/msedge.exe", "darwin": "Applications/Google Chrome.app/Contents/MacOS/Google Chrome"} {
		home := t.TempDir()
		env := func(name string) string {
			return map[string]string{"ProgramFiles(x86)": home, "HOME": home}[name]
		}
		assert.Empty(t, firstOf(browsers(system, env)), system)
		path := filepath.Join(home, filepath.FromSlash(at))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
		require.NoError(t, os.WriteFile(path, nil, 0o700))
		assert.Equal(t, path, firstOf(browsers(system, env)), system)
	}
}

func TestAFileHasTheAddressThatABrowserTakes(t *testing.T) {
	for _, x := range []struct{ system, path, want string }{
		{"linux", "/home/ada/going home/Ada Löwe.html", "file:///home/ada/going%20home/Ada%20L%C3%B6we.html"},
		{"windows", `C:\Users\ada\going home\Ada #2.html`, "file:///C:/Users/ada/going%20home/Ada%20%232.html"},
		{"windows", `\\school\class\Ada.html`, "file://school/class/Ada.html"},
	} {
		assert.Equal(t, x.want, address(x.path, x.system))
	}
}
