package diary_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/diary"
)

// forgotten is who is forgotten in the end; all that is of her has her name in it.
const forgotten = "Minavella"

// months does all that is done with a diary and changes it: takes with their sound
// come in and push older sound out, copies are made, one take is removed, and a player
// forgotten.
func months(t testing.TB, path string) error {
	d, err := diary.Open(path)
	if err != nil {
		return err
	}
	limit := int64(50_000)
	if _, err := d.KeepSound("Ole", nil, &limit); err != nil {
		return err
	}
	var last diary.Added
	for i, player := range []string{forgotten, "Ole", forgotten, "Ole", forgotten} {
		take := sounding(t, player, strings.Repeat(fmt.Sprint(player, i, " "), 1500))
		take.At = monday.AddDate(0, 0, i)
		take.Hearing.Remarks = []string{player + " was heard"}
		if last, err = d.Add(take); err != nil {
			return err
		}
		fmt.Println("added")
		if err := d.Safeguard(monday.AddDate(0, 0, i)); err != nil {
			return err
		}
	}
	if _, err := d.Check(); err != nil {
		return err
	}
	if _, err := d.RemoveTake(forgotten, last.Take); err != nil {
		return err
	}
	if _, err := d.Forget(forgotten); err != nil {
		return err
	}
	return d.Close()
}

// strace is the program that follows another's calls.
func strace(t testing.TB) string {
	t.Helper()
	program, err := exec.LookPath("strace")
	if err == nil {
		err = exec.Command(program, "-o", os.DevNull, "true").Run()
	}
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("strace cannot be run: ", err)
		}
		t.Skip("strace cannot be run: ", err)
	}
	return program
}

// writes are the calls by which a diary comes to the disk.
const writes = "fsync,fdatasync,pwrite64,rename,renameat,renameat2,unlink,unlinkat"

// call is one of those, counted among its name.
type call struct {
	name string
	nth  int
}

// calls are those that the months take.
func calls(t testing.TB) (all []call) {
	t.Helper()
	log := filepath.Join(t.TempDir(), "calls")
	c := exec.Command(strace(t), "-o", log, "-e", "trace="+writes, os.Args[0])
	c.Env = append(os.Environ(), "GOMAXPROCS=1", "DIARY="+filepath.Join(t.TempDir(), "diary.db"))
	said, err := c.CombinedOutput()
	require.NoError(t, err, string(said))
	text, err := os.ReadFile(log)
	require.NoError(t, err)
	so := map[string]int{}
	for _, m := range regexp.MustCompile(`(?m)^(\w+)\(`).FindAllStringSubmatch(string(text), -1) {
		so[m[1]]++
		all = append(all, call{m[1], so[m[1]]})
	}
	return all
}

// Programs are killed at a hundred places: what stood in the diary stands, the
// next opening leaves nothing half made, and who is forgotten then, or was already, has
// no byte left in the folder.
func TestWhereverAProgramIsKilledNothingIsLostAndTheForgottenLeaveNoTrace(t *testing.T) {
	all := calls(t)
	points := 100
	if testing.Short() { // with the race detector
		points = 10
	}
	require.Greater(t, len(all), points)
	for i := range points {
		at := all[i*len(all)/points]
		where := fmt.Sprintf("killed at %s %d", at.name, at.nth)
		folder := t.TempDir()
		path := filepath.Join(folder, "diary.db")
		c := exec.Command(strace(t), "-o", os.DevNull, "-e", "trace="+at.name, "-e", fmt.Sprintf("inject=%s:signal=KILL:when=%d", at.name, at.nth), os.Args[0])
		c.Env = append(os.Environ(), "GOMAXPROCS=1", "DIARY="+path)
		said, err := c.CombinedOutput()
		var exit *exec.ExitError
		require.True(t, errors.As(err, &exit), "%s: %s", where, said)
		require.Equal(t, syscall.SIGKILL, exit.Sys().(syscall.WaitStatus).Signal(), where)

		d, err := diary.Open(path)
		require.NoError(t, err, where)
		assert.Empty(t, halfMade(t, folder), "%s: what the opening leaves", where)
		is, err := d.Check()
		require.NoError(t, err, where)
		assert.Empty(t, is.Orphans, where)
		known, err := d.Has(forgotten)
		require.NoError(t, err, where)
		if known {
			_, err = d.Forget(forgotten)
			require.NoError(t, err, where)
		}
		assert.Empty(t, traces(t, folder, forgotten), where)
		again, err := d.Add(played(t, "Ole", monday.AddDate(0, 1, 0), 20))
		require.NoError(t, err, where)
		assert.False(t, again.Already, where)
		require.NoError(t, d.Close())
	}
}

// The disk is full from some point on: the program says so in one line, and what was
// told to be in the diary is.
func TestWhereverTheDiskIsFullWhatWasAddedStandsAndItIsTold(t *testing.T) {
	all := calls(t)
	const points = 12
	for i := range points {
		at := all[i*len(all)/points]
		if at.name != "pwrite64" {
			continue
		}
		where := fmt.Sprintf("full from %s %d on", at.name, at.nth)
		path := filepath.Join(t.TempDir(), "diary.db")
		c := exec.Command(strace(t), "-o", os.DevNull, "-e", "trace="+at.name, "-e", fmt.Sprintf("inject=%s:error=ENOSPC:when=%d+", at.name, at.nth), os.Args[0])
		c.Env = append(os.Environ(), "GOMAXPROCS=1", "DIARY="+path)
		said, err := c.CombinedOutput()
		var exit *exec.ExitError
		require.True(t, errors.As(err, &exit), "%s: %s", where, said)
		assert.Equal(t, 1, exit.ExitCode(), "%s: %s", where, said)
		lines := strings.Split(strings.TrimSpace(string(said)), "\n")
		assert.Contains(t, lines[len(lines)-1], "the disk is full", where)

		d, err := diary.Open(path)
		require.NoError(t, err, where)
		is, err := d.Check()
		require.NoError(t, err, where)
		assert.GreaterOrEqual(t, is.Takes, min(len(lines)-1, 2), "%s: what was told to be added is there, but for what was forgotten", where)
		assert.Empty(t, is.Orphans, where)
		require.NoError(t, d.Close())
	}
}

// halfMade are files in a folder that are no part of a diary at rest.
func halfMade(t testing.TB, folder string) (names []string) {
	t.Helper()
	err := filepath.WalkDir(folder, func(path string, e os.DirEntry, err error) error {
		if strings.Contains(e.Name(), ".part-") || strings.Contains(e.Name(), ".version-") {
			names = append(names, e.Name())
		}
		return err
	})
	require.NoError(t, err)
	return names
}

// traces are the files in a folder that have a word in their name or in any byte.
func traces(t testing.TB, folder, word string) (found []string) {
	t.Helper()
	err := filepath.WalkDir(folder, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if bytes.Contains(data, []byte(word)) || strings.Contains(e.Name(), word) {
			found = append(found, e.Name())
		}
		return err
	})
	require.NoError(t, err)
	return found
}

func TestWhatAProgramLeftThatWasCutOffIsCountedAndCleanedAway(t *testing.T) {
	d := open(t)
	add(t, d, sounding(t, "Mina", "a sound"))
	orphan := strings.Repeat("c", 64) + ".wav"
	for _, name := range []string{d.Path() + ".good.part-4194399", d.Path() + ".version-1", filepath.Join(d.Sounds(), ".part-123456789"),
		filepath.Join(d.Sounds(), strings.Repeat("d", 64)+".wav.part-4194399-ABC-1"), filepath.Join(d.Sounds(), orphan)} {
		require.NoError(t, os.WriteFile(name, []byte("Minavella"), 0o600))
	}
	own := d.Path() + ".notes.txt"
	require.NoError(t, os.WriteFile(own, []byte("the player's own"), 0o600))
	is, err := d.Check()
	require.NoError(t, err)
	assert.Equal(t, 4, is.Left)
	assert.Equal(t, []string{orphan}, is.Orphans, "whole sound may be all that is left of a take: it is named and stays")
	assert.FileExists(t, own)
	_, err = d.Forget("Mina")
	require.NoError(t, err)
	assert.Empty(t, traces(t, filepath.Dir(d.Path()), "Minavella"), "sound that no take is of might be hers")
}

func TestAFileThatAnotherProgramIsMakingStays(t *testing.T) {
	d := open(t)
	add(t, d, played(t, "Mina", monday, 28))
	another := exec.Command("sleep", "60")
	require.NoError(t, another.Start())
	theirs := fmt.Sprintf("%s.good.part-%d-ABC-1", d.Path(), another.Process.Pid)
	require.NoError(t, os.WriteFile(theirs, nil, 0o600))
	is, err := d.Check()
	require.NoError(t, err)
	assert.Zero(t, is.Left)
	assert.FileExists(t, theirs)
	_, err = d.Forget("Mina")
	assert.ErrorContains(t, err, "another program")

	require.NoError(t, another.Process.Kill())
	_ = another.Wait()
	require.NoError(t, d.Close())
	d, err = diary.Open(d.Path())
	require.NoError(t, err)
	defer d.Close()
	_, err = d.Check()
	require.NoError(t, err)
	assert.NoFileExists(t, theirs)
	assert.Empty(t, traces(t, filepath.Dir(d.Path()), "Mina"), "what could not be ended is ended by the next")
}

func TestAClockSetBackStopsNothing(t *testing.T) {
	d := open(t)
	add(t, d, sounding(t, "Mina", "a sound"))
	require.NoError(t, d.Safeguard(monday))
	require.NoError(t, d.Safeguard(monday.AddDate(-10, 0, 0)))
	earlier := sounding(t, "Mina", "another sound")
	earlier.Now = monday.Add(-24 * time.Hour)
	require.Len(t, add(t, d, earlier).Warnings, 1, "dated after now")
	is, err := d.Check()
	require.NoError(t, err)
	assert.Equal(t, 2, is.Takes)
}
