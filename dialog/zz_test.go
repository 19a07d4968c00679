package dialog
import ("testing";"ruleout/kb";"ruleout/dialog/circuit")
func TestZZ(t *testing.T){
 b,_:=kb.Embedded(); e,err:=New(b,nil,DefaultSettings); if err!=nil {t.Fatal(err)}
 w:=e.wiringOf("fan-circuit")
 for _,x:=range []string{"what should I read between 85 and ground with the key on?","11.8 at 87","0 volts on 30 with the key on","pulled the relay and the fan stopped","bridged 30 and 87 and it runs","unplugged the sender and it came on","unplugged the fan switch and the relay clicked","0.4 ohm between 30 and 87 at rest","can I bridge 30 and 87?","what happens if i unplug the fan switch?","should the fan run with the sensor unplugged?","30 and 87 are joined at rest","12v at the fan plug feed side key on engine hot","no power at 87","fed the fan 12 volts and it ran", "no click from the relay when i earth the fan switch terminal", "its a 1999 petrol, electric fan", "gets hot in traffic and the fan is dead","changed the relay and it runs", "put 12v on 85"} {
  for _,s:=range w.statements(x, circuit.Setup{}, false) {
   t.Logf("%q -> %s v=%v [%v..%v] eff=%v ask=%v harm=%v done=%v state=%v", x, w.checkID(s.check), s.value,s.low,s.high,s.effect,s.asks,s.harm,s.done,s.stateSaid)
  }
 }
}
