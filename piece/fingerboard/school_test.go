package fingerboard

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func schoolFile(t *testing.T, change ...string) []byte {
	data, err := os.ReadFile("schools/first-year.json")
	require.NoError(t, err)
	changed := strings.NewReplacer(change...).Replace(string(data))
	if len(change) > 0 {
		require.NotEqual(t, string(data), changed)
	}
	return []byte(changed)
}

func TestTheUsualSchoolWritesOutTheUsualCosts(t *testing.T) {
	data, err := os.ReadFile("schools/" + UsualSchool + ".json")
	require.NoError(t, err)
	var file struct{ Costs Costs }
	require.NoError(t, json.Unmarshal(data, &file))
	assert.Equal(t, DefaultCosts(), file.Costs)
	assert.Equal(t, DefaultCosts(), bassUnder("first-year").System.Costs, "which a file that leaves them out has too")
}

func TestTheSameScaleIsFingeredByEachSchoolItsWay(t *testing.T) {
	line := tune(t, "G2 A2 B2 C3 B2 A2 G2 -")
	for school, want := range map[string]string{
		"older-1-2-4":  "0 1:1 2:2 4 2 1:1 0", // A1 | B2 C4
		"newer-1-2-4":  "0 1:1 4 3:1 1:4 1 0", // A1 B4 | C1
		"first-year":   "0 1:1 4 3:1 1:4 1 0", // second position comes later
		"pivots":       "0 1:1 4 4 4 1 0",     // the hand rocks up to C
		"four-fingers": "0 1:1 3 4 3 1 0",     // and here it need not
	} {
		assert.Equal(t, want, fingers(bassUnder(school).Finger(line, Options{})), school)
	}
}

func TestWhatASchoolDoesNotUseIsNamedAndNotFingered(t *testing.T) {
	in := bassUnder("first-year")
	line := tune(t, "D3 E3 D3 F3")
	p := in.Finger(line, Options{})
	assert.Equal(t, []string{
		"Measure 1: E3 lies in none of the positions allowed; IV is the first that reaches it.",
		"Measure 1: F3 lies in none of the positions allowed; V is the first that reaches it.",
	}, p.Outside)
	assert.True(t, p.Notes[1].Off)
	assert.Zero(t, p.Notes[1].String, "what is out of reach is planned on no string")
	assert.Empty(t, in.Finger(line, Options{Positions: []string{"3", "4", "5"}}).Outside, "positions asked for count for more")
}

func TestATeachersOwnSchoolIsReadFromAFile(t *testing.T) {
	s, err := ReadSchool(schoolFile(t, `"first-year"`, `"mine"`, `"half-3"`, `"1,3"`))
	require.NoError(t, err)
	assert.Equal(t, "mine", s.Name)
	assert.Equal(t, []string{"1", "3"}, s.System().Use)
	again, err := SchoolKept(s.Kept())
	require.NoError(t, err)
	assert.Equal(t, s.System(), again.System(), "what a piece remembers is the whole of it")
	for _, s := range Schools() {
		assert.Equal(t, s.Name, s.Kept(), "and of those that come along the name")
	}
}

func TestASchoolThatNoHandCouldFollowIsRefusedWithItsMend(t *testing.T) {
	for said, change := range map[string][]string{
		`line 4: a school has no field "used"`: {`"use"`, `"used"`},
		`line 2: "school" cannot be a number`:  {`"first-year"`, `7`},
		`line 2: not JSON, which a school's file is: invalid character 'i' in literal false (expecting 'a')`:                         {`"first-year"`, `first-year`},
		`the school has no name: write "school": "…"`:                                                                                {`"first-year"`, `" "`},
		`hand "neck": finger "9" at 0: fingers are 1 to 4 and T, and lie from 3 semitones below the hand's beginning to 12 above it`: {`"neck": [{"finger": "1"`, `"neck": [{"finger": "9"`},
		`position "first" is none; there are half, 1, 2, 2-3, 3, 3-4, 4, 5, 5-6, 6, 6-7, 7, thumb`:                                   {`"position": "1"`, `"position": "first"`},
		`position "2" begins 1 semitones above the open string: positions go up the neck in order, from 1 to 24`:                     {`"position": "2", "at": 3`, `"position": "2", "at": 1`},
		`position "1" takes hand "nose", which the school has not`:                                                                   {`"at": 2, "hand": "neck"`, `"at": 2, "hand": "nose"`},
		`the costs of "crossing" are from 0 to 1000`:                                                                                 {`"use":`, `"costs": {"crossing": -1}, "use":`},
		`the costs of "half" are from 0 to 1000`:                                                                                     {`"tiring": 0.2`, `"tiring": 1e9`},
		`use: there is no position "9"; there are half, 1, 2, 2-3, 3, 3-4, 4, 5, 5-6, 6, 6-7, 7, thumb, and ranges such as half-3`:   {`"half-3"`, `"9"`},
	} {
		_, err := ReadSchool(schoolFile(t, change...))
		if assert.Error(t, err, said) {
			assert.Contains(t, err.Error(), said)
		}
	}
	many := strings.Repeat(`{"position": "thumb", "at": 12, "to": 24, "hand": "thumb"}, `, 5)
	_, err := ReadSchool(schoolFile(t, `{"position": "thumb"`, many+`{"position": "thumb"`))
	assert.EqualError(t, err, "the school has no positions, or more than 64: list them from the nut up")
	_, err = ReadSchool([]byte(strings.Repeat(" ", mostSchool+1)))
	assert.EqualError(t, err, "a school's file has at most 64 kB")
	_, err = SchoolByName("mine")
	assert.EqualError(t, err, `no school is called "mine" here; there are 1-2-4, first-year, older-1-2-4, newer-1-2-4, pivots, four-fingers, or give a file`)
	_, err = Cello().Under(Schools()[0])
	assert.EqualError(t, err, "schools are of the double bass, and the instrument is the cello")
}

// Whatever stands in a file becomes a school that fingers a line, or one line of error.
func FuzzSchool(f *testing.F) {
	for _, name := range []string{"first-year", "pivots"} {
		data, err := os.ReadFile("schools/" + name + ".json")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(`{"school":"x","hands":{"a":[{"finger":"1"}]},"positions":[{"position":"1","at":24,"hand":"a"}]}`))
	line := tune(f, "E1 G1 B2 C3/4 F#3 E4/~ -")
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ReadSchool(data)
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Fatal(err)
			}
			return
		}
		in, err := DoubleBass().Under(s)
		if err != nil {
			t.Fatal(err)
		}
		in.Finger(line, Options{})
	})
}
