package finding_test
import ("testing";"fmt";"endpin/piece/align";"endpin/dsp")
func TestZZ(t *testing.T){
 for _,o:=range []float64{-1200,1200}{
 p:=play(t,harbour); p.detune(o,p.in(1,12,every)...)
 c:=align.Clock(p.piece,p.line,80)
 a,err:=align.Align(p.line,c,p.heard(),440)
 fmt.Println(o,err); if a!=nil {fmt.Println(a.Octave,a.Fit,a.Pace)}
 _ = dsp.Sure
 }
}
