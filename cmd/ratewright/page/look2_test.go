package page
import ("testing";"os";"bytes";"strings";"github.com/paulmach/orb";"math")
func TestLook2(t *testing.T){
 put:=func(n string,s Sheet){ var b bytes.Buffer; if err:=s.PNG(&b);err!=nil{t.Fatal(err)}; os.WriteFile("/tmp/page/look/"+n+".png",b.Bytes(),0o644)}
 put("crowd",crowd())
 put("hostile",hostileSheet())
 tall:=sample(0); tall.Map.Boundary=orb.MultiPolygon{box(0,0,60,1200)}; tall.Map.Zones=nil; tall.Map.Patches=nil; tall.Map.OffLimits=nil; tall.Kind=Prescription
 put("tall",tall)
 for i:=range 7 { y:=float64(i)*170; tall.Map.Zones=append(tall.Map.Zones,Zone{Polygons:orb.MultiPolygon{box(0,y,60,y+170)},Rate:90+float64(i)*15,Label:[]string{"90","105","120","135","150","165","180"}[i]})}
 tall.Map.Zones=append(tall.Map.Zones,Zone{Polygons:orb.MultiPolygon{box(0,1190,60,1200)},Rate:math.NaN(),Label:"none"})
 tall.Map.LowRate=90;tall.Map.HighRate=180
 put("tall2",tall)
 sc:=picture(sample(0)); svg:=string(sc.svg("x")); svg=strings.Replace(svg,"<svg ","<svg xmlns=\"http://www.w3.org/2000/svg\" ",1)
 css:=strings.TrimSuffix(strings.SplitN(inkStyles(),"{",2)[1],"}")
 svg=strings.Replace(svg,"<defs>","<style>"+css+"</style><rect width='800' height='2000' fill='#16181a'/><defs>",1)
 os.WriteFile("/tmp/page/look/dark.svg",[]byte(svg),0o644)
}
