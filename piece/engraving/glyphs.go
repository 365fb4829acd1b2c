package engraving

// box is a glyph's bounding box in staff spaces, y down, from its origin.
type box struct{ left, top, right, bottom float64 }

// The glyphs used, by their names and code points in SMuFL 1.4; boxes are
// glyphBBoxes of Bravura's own metadata, turned y down. A test holds them
// to the outlines in the font.
const (
	gClef                 rune = 0xE050
	gClef8vb              rune = 0xE052
	cClef                 rune = 0xE05C
	fClef                 rune = 0xE062
	fClef8vb              rune = 0xE064
	gClefChange           rune = 0xE07A
	cClefChange           rune = 0xE07B
	fClefChange           rune = 0xE07C
	timeSig0              rune = 0xE080
	timeSig1              rune = 0xE081
	timeSig2              rune = 0xE082
	timeSig3              rune = 0xE083
	timeSig4              rune = 0xE084
	timeSig5              rune = 0xE085
	timeSig6              rune = 0xE086
	timeSig7              rune = 0xE087
	timeSig8              rune = 0xE088
	timeSig9              rune = 0xE089
	noteheadDoubleWhole   rune = 0xE0A0
	noteheadWhole         rune = 0xE0A2
	noteheadHalf          rune = 0xE0A3
	noteheadBlack         rune = 0xE0A4
	augmentationDot       rune = 0xE1E7
	flag8thUp             rune = 0xE240
	flag8thDown           rune = 0xE241
	flag16thUp            rune = 0xE242
	flag16thDown          rune = 0xE243
	flag32ndUp            rune = 0xE244
	flag32ndDown          rune = 0xE245
	flag64thUp            rune = 0xE246
	flag64thDown          rune = 0xE247
	flag128thUp           rune = 0xE248
	flag128thDown         rune = 0xE249
	accidentalFlat        rune = 0xE260
	accidentalNatural     rune = 0xE261
	accidentalSharp       rune = 0xE262
	accidentalDoubleSharp rune = 0xE263
	accidentalDoubleFlat  rune = 0xE264
	accidentalParensLeft  rune = 0xE26A
	accidentalParensRight rune = 0xE26B
	articStaccatoAbove    rune = 0xE4A2
	articStaccatoBelow    rune = 0xE4A3
	fermataAbove          rune = 0xE4C0
	breathMarkComma       rune = 0xE4CE
	restDoubleWhole       rune = 0xE4E2
	restWhole             rune = 0xE4E3
	restHalf              rune = 0xE4E4
	restQuarter           rune = 0xE4E5
	rest8th               rune = 0xE4E6
	rest16th              rune = 0xE4E7
	rest32nd              rune = 0xE4E8
	rest64th              rune = 0xE4E9
	rest128th             rune = 0xE4EA
	stringsDownBow        rune = 0xE610
	stringsUpBow          rune = 0xE612
	stringsHarmonic       rune = 0xE614
	stringsThumbPosition  rune = 0xE624
	repeatDot             rune = 0xE044
	segno                 rune = 0xE047
	coda                  rune = 0xE048
	metNoteHalfUp         rune = 0xECA3
	metNoteQuarterUp      rune = 0xECA5
	metNote8thUp          rune = 0xECA7
	metAugmentationDot    rune = 0xECB7
	tuplet0               rune = 0xE880
	tuplet1               rune = 0xE881
	tuplet2               rune = 0xE882
	tuplet3               rune = 0xE883
	tuplet4               rune = 0xE884
	tuplet5               rune = 0xE885
	tuplet6               rune = 0xE886
	tuplet7               rune = 0xE887
	tuplet8               rune = 0xE888
	tuplet9               rune = 0xE889
	fingering0            rune = 0xED10
	fingering1            rune = 0xED11
	fingering2            rune = 0xED12
	fingering3            rune = 0xED13
	fingering4            rune = 0xED14
)

var boxes = map[rune]box{
	gClef:                 {0, -4.392, 2.684, 2.632},
	gClef8vb:              {0, -4.392, 2.684, 3.512},
	cClef:                 {0, -2.024, 2.796, 2.024},
	fClef:                 {-0.02, -1.048, 2.736, 2.54},
	fClef8vb:              {-0.02, -1.048, 2.736, 2.976},
	gClefChange:           {0, -2.828, 1.76, 1.82},
	cClefChange:           {0, -1.328, 2.024, 1.328},
	fClefChange:           {-0.06, -0.68, 1.852, 1.656},
	timeSig0:              {0.08, -1.004, 1.8, 1},
	timeSig1:              {0.08, -1.004, 1.256, 1},
	timeSig2:              {0.08, -1.016, 1.704, 1.028},
	timeSig3:              {0.08, -0.996, 1.604, 1.004},
	timeSig4:              {0.08, -1.004, 1.8, 1},
	timeSig5:              {0.08, -0.984, 1.532, 1.004},
	timeSig6:              {0.08, -1.004, 1.656, 0.996},
	timeSig7:              {0.08, -0.996, 1.684, 1},
	timeSig8:              {0.08, -1.036, 1.664, 1.036},
	timeSig9:              {0.08, -1.004, 1.656, 0.996},
	noteheadDoubleWhole:   {0, -0.62, 2.396, 0.62},
	noteheadWhole:         {0, -0.5, 1.688, 0.5},
	noteheadHalf:          {0, -0.5, 1.18, 0.5},
	noteheadBlack:         {0, -0.5, 1.18, 0.5},
	augmentationDot:       {0, -0.2, 0.4, 0.2},
	flag8thUp:             {0, -0.0352124, 1.056, 3.24077},
	flag8thDown:           {0, -3.2329, 1.224, 0.0575672},
	flag16thUp:            {0, -0.008, 1.116, 3.252},
	flag16thDown:          {-1.94182e-05, -3.24803, 1.16358, 0.0360109},
	flag32ndUp:            {0, -0.596, 1.044, 3.248},
	flag32ndDown:          {0, -3.248, 1.092, 0.687477},
	flag64thUp:            {0, -1.38711, 1.044, 3.248},
	flag64thDown:          {0, -3.248, 1.092, 1.50403},
	flag128thUp:           {0, -2.132, 1.044, 3.248},
	flag128thDown:         {0, -3.248, 1.092, 2.32003},
	accidentalFlat:        {0, -1.756, 0.904, 0.7},
	accidentalNatural:     {0, -1.364, 0.672, 1.34},
	accidentalSharp:       {0, -1.4, 0.996, 1.392},
	accidentalDoubleSharp: {0, -0.508, 0.988, 0.5},
	accidentalDoubleFlat:  {0, -1.748, 1.644, 0.7},
	accidentalParensLeft:  {0, -0.988, 0.564, 0.992},
	accidentalParensRight: {0, -0.988, 0.564, 0.992},
	articStaccatoAbove:    {0, -0.336, 0.336, 0},
	articStaccatoBelow:    {0, 0, 0.336, 0.336},
	fermataAbove:          {0.012, -1.316, 2.42, 0.012},
	breathMarkComma:       {0.004, -1.004, 0.608, -0.008},
	restDoubleWhole:       {0, -1, 0.5, 0},
	restWhole:             {0, -0.036, 1.128, 0.54},
	restHalf:              {0, -0.568, 1.128, 0.008},
	restQuarter:           {0.004, -1.492, 1.08, 1.5},
	rest8th:               {0, -0.696, 0.988, 1.004},
	rest16th:              {0, -0.716, 1.28, 2},
	rest32nd:              {0, -1.704, 1.452, 2},
	rest64th:              {0, -1.72, 1.692, 3.012},
	rest128th:             {0, -2.756, 1.94, 3},
	stringsDownBow:        {0, -1.272, 1.248, 0},
	stringsUpBow:          {0.004, -1.98, 0.996, -0.004},
	stringsHarmonic:       {0, -0.8, 0.8, 0},
	stringsThumbPosition:  {0, -1.184, 0.688, 0},
	repeatDot:             {0, -0.2, 0.4, 0.2},
	segno:                 {0.016, -3.036, 2.2, 0.108},
	coda:                  {-0.016, -3.592, 3.82, 0.632},
	metNoteHalfUp:         {0, -2.752, 1.364, 0.564},
	metNoteQuarterUp:      {0, -2.752, 1.328, 0.564},
	metNote8thUp:          {0, -2.784, 2.132, 0.564},
	metAugmentationDot:    {0, -0.2, 0.4, 0.2},
	tuplet0:               {-0.00120433, -1.5, 1.2731, 0.032},
	tuplet1:               {0.04, -1.488, 1.024, 0},
	tuplet2:               {0.04, -1.5, 1.316, 0.024},
	tuplet3:               {0.04, -1.5, 1.224, 0.032},
	tuplet4:               {0.04, -1.488, 1.252, 0},
	tuplet5:               {0.04, -1.492, 1.308, 0.032},
	tuplet6:               {0.0410597, -1.5, 1.256, 0.032},
	tuplet7:               {0.12, -1.488, 1.332, 0.016},
	tuplet8:               {0.04, -1.5, 1.292, 0.032},
	tuplet9:               {0.04, -1.5, 1.25494, 0.032},
	fingering0:            {0.08, -1.004, 0.94, 0.004},
	fingering1:            {0.08, -1.016, 0.548, 0},
	fingering2:            {0.08, -1.012, 0.888, 0.012},
	fingering3:            {0.08, -1.008, 0.82, 0},
	fingering4:            {0.08, -1.012, 0.864, -0.004},
}

// Thicknesses and distances: engravingDefaults of Bravura's metadata, staff spaces.
const (
	staffLineThickness         = 0.13
	stemThickness              = 0.12
	beamThickness              = 0.5
	beamSpacing                = 0.25
	legerLineThickness         = 0.16
	legerLineExtension         = 0.4
	thinBarlineThickness       = 0.16
	thickBarlineThickness      = 0.5
	barlineSeparation          = 0.4
	repeatBarlineDotSeparation = 0.16
	slurEndpointThickness      = 0.1
	slurMidpointThickness      = 0.22
	tupletBracketThickness     = 0.16
	repeatEndingLineThickness  = 0.16
	textEnclosureThickness     = 0.16
)

// Where stems meet heads, y down (stemUpSE, stemDownNW of glyphsWithAnchors; the same
// for the black and the half head), and where flags meet stems.
const (
	stemUpX   = 1.18
	stemUpY   = -0.168
	stemDownX = 0.0
	stemDownY = 0.168
)
