package drawing
import ("testing";"os";"ruleout/kb";"ruleout/dialog/circuit/authored";"ruleout/dialog/circuit")
func TestZZ(t *testing.T){
 b,_:=kb.Embedded()
 for _,a:=range b.Circuits { c,err:=authored.Compile(a); if err!=nil {t.Fatal(err)}
  for _,r:=range c.Arrangements { for i,s:=range c.Setups { if i>3 {break}
   f:=circuit.Faulted{}; ft:=""
   if i==2 { for _,h:=range c.Hypotheses() { if x,ok:=c.Typical(r.ID,h.Cause); ok {f=x; ft=h.Cause; break} } }
   term:=map[string]string{}; for _,p:=range a.Points { term[p.Node]=p.Terminal }
   svg,err:=SVG(c,Options{Arrangement:r.ID,Setup:s,Fault:f,FaultTitle:ft,Title:a.Title+": "+r.Title+", "+s.Title,Terminals:term})
   if err!=nil { continue }
   os.WriteFile("/tmp/t/circuits-wip/svg/"+a.ID+"-"+r.ID+"-"+s.ID+".svg",[]byte(svg),0o644)
  }}
 }
}
