package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/ui/desk/classroom"
	"endpin/ui/desk/score"
)

func TestTheDeskHearsAFolderAndGoesOnWhereItWasStopped(t *testing.T) {
	if testing.Short() {
		t.Skip("hears whole takes")
	}
	demo, err := demoScore()
	require.NoError(t, err)
	scores := []*score.Score{demo}
	asked := classroom.Asked{Scores: scores, Folder: t.TempDir(), Out: filepath.Join(t.TempDir(), "week 3 - class sheet")}
	for _, name := range []string{"Anna.flac", "Ben.flac", "Cleo.flac", "Dan.flac"} {
		require.NoError(t, os.WriteFile(filepath.Join(asked.Folder, name), assets.DemoTake, 0o600))
	}
	opts := finding.Options{Level: finding.Intermediate, A4: 440, Intonation: finding.Equal}
	ctx, stop := context.WithCancel(context.Background())
	_, written, err := new(lessons).hear(ctx, asked, opts, func(told classroom.Told) {
		if told.Done > 0 {
			stop()
		}
	})
	require.ErrorIs(t, err, context.Canceled)
	assert.FileExists(t, written, "who was heard has a page already")

	kept, err := filepath.Glob(filepath.Join(asked.Out, "kept", "[0-9a-f]*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, kept)
	before := len(kept)
	require.Less(t, before, 4)
	arrived := []int{}
	heard, written, err := new(lessons).hear(context.Background(), asked, opts, func(told classroom.Told) {
		if told.So != nil {
			arrived = append(arrived, told.So.Sheets[0].HeardOf())
		}
	})
	require.NoError(t, err)
	assert.Equal(t, []int{1, 2, 3, 4}, arrived, "results come as they arrive")
	assert.Equal(t, filepath.Join(asked.Out, "class.html"), written)
	assert.FileExists(t, filepath.Join(asked.Out, "Dan.html"))
	sheet := heard.Sheets[0]
	require.NotEmpty(t, sheet.Reteach)
	assert.Equal(t, class.Reteach{Measure: "5", ToMeasure: "7", Kind: finding.SharpAfterShift, Students: 4, Of: 4, Also: []string{}, What: "third position"}, sheet.Reteach[0])

	assert.NoFileExists(t, filepath.Join(asked.Out, "weeks.html"), "no weeks are kept unless somebody said so")
	asked.Weeks = true
	_, _, err = new(lessons).hear(context.Background(), asked, opts, func(classroom.Told) {})
	require.NoError(t, err)
	weeks, err := os.ReadFile(filepath.Join(asked.Out, "weeks.html"))
	require.NoError(t, err)
	year, _ := class.SchoolYear(time.Now())
	assert.Contains(t, string(weeks), "School year "+year+".")
	assert.FileExists(t, filepath.Join(asked.Out, "class "+year+".diary"))

	// A second piece: each recording is put to the one that it is of, and the sheet is of both.
	tune := filepath.Join(t.TempDir(), "scale.abc")
	require.NoError(t, os.WriteFile(tune, []byte("X:1\nT:Scale\nM:4/4\nL:1/4\nQ:1/4=80\nK:D clef=bass\nD,E,F,G,|A,B,CD|\n"), 0o600))
	scale, err := readScore(tune, "", "")
	require.NoError(t, err)
	two := asked
	two.Scores, two.Out = []*score.Score{scale, demo}, filepath.Join(t.TempDir(), "two")
	desk := new(lessons)
	heard, written, err = desk.hear(context.Background(), two, opts, func(classroom.Told) {})
	require.NoError(t, err)
	require.Len(t, heard.Sheets, 2)
	assert.Equal(t, []int{0, 4}, []int{heard.Sheets[0].HeardOf(), heard.Sheets[1].HeardOf()})
	assert.Equal(t, filepath.Join(two.Out, "class.html"), written, "the sheet over both")
	assert.FileExists(t, filepath.Join(two.Out, "sheet Stairs to the Loft.html"))
	heard, _, err = desk.add(context.Background(), "Ben", func(r *class.Remarks, g *class.Page) { r.For(g.Name).Say(g.At(), "Sing it first") })
	require.NoError(t, err)
	assert.Equal(t, "Sing it first", heard.Sheets[1].Students[1].Line)

	asked.Folder = t.TempDir()
	_, _, err = new(lessons).hear(context.Background(), asked, opts, func(classroom.Told) {})
	assert.ErrorContains(t, err, "no recording lies in it")
	asked.Out = asked.Folder
	_, _, err = new(lessons).hear(context.Background(), asked, opts, func(classroom.Told) {})
	assert.ErrorContains(t, err, "is the folder of the recordings")
}
