package diary_test

import (
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/diary"
)

// TestMain makes a second program of this test, which adds takes to the diary in
// DIARY, of the player PLAYER, until it has added 40 or is killed; of no player, it
// does all that is done with a diary.
func TestMain(m *testing.M) {
	path := os.Getenv("DIARY")
	if path == "" {
		os.Exit(m.Run())
	}
	t := &testing.T{}
	if os.Getenv("PLAYER") == "" {
		runtime.LockOSThread() // whoever follows the calls finds them in one thread
		if err := months(t, path); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	d, err := diary.Open(path)
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	for i := range 40 {
		if _, err := d.Add(played(t, os.Getenv("PLAYER"), monday.Add(time.Duration(i)*time.Hour), 28)); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		fmt.Println("added")
	}
	os.Exit(0)
}

// adding is a program that adds takes.
func adding(t *testing.T, path, player string) *exec.Cmd {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), "DIARY="+path, "PLAYER="+player)
	return c
}

func TestTwoProgramsAddAtOnce(t *testing.T) {
	d := open(t)
	programs := []*exec.Cmd{adding(t, d.Path(), "Mina"), adding(t, d.Path(), "Ole")}
	var said [2]strings.Builder
	for i, p := range programs {
		p.Stdout = &said[i]
		require.NoError(t, p.Start())
	}
	for i := range 20 { // and this one too
		add(t, d, played(t, "Ines", monday.Add(time.Duration(i)*time.Hour), 10))
	}
	for i, p := range programs {
		assert.NoError(t, p.Wait(), said[i].String())
	}
	is, err := d.Check()
	require.NoError(t, err)
	assert.Equal(t, 100, is.Takes)
	assert.Equal(t, 100, is.Landings)
	assert.Equal(t, "1\n", sqlite(t, d.Path(), "SELECT count(*) FROM shifts"))
}

func TestAProgramKilledWhileAddingLosesThatTakeAtMost(t *testing.T) {
	for round := range 8 {
		d := open(t)
		c := adding(t, d.Path(), "Mina")
		out, err := c.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, c.Start())
		buf := make([]byte, len("added\n"))
		_, err = out.Read(buf)
		require.NoError(t, err)
		time.Sleep(time.Duration(7*round) * time.Millisecond)
		require.NoError(t, c.Process.Kill()) // SIGKILL
		said := len(buf)
		rest := make([]byte, 4096)
		for n := 1; n > 0; {
			n, _ = out.Read(rest)
			said += n
		}
		_ = c.Wait()
		is, err := d.Check()
		require.NoError(t, err)
		told := said / len("added\n")
		assert.Contains(t, []int{told, told + 1}, is.Takes, "what was said to be added is there; at most one more was")
		assert.Equal(t, is.Takes, is.Landings, "each take is there whole")
	}
}
