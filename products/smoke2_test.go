package products
import ("testing";"fmt";"time";"strings")
func TestSlow(t *testing.T){
 s,_:=Catalogue()
 for _,p:=range []string{"[","{a: ","- ","a","a: 1\n","# c\n","\"","'","|","&a ","a: |\n  x\n","\n"," ","\t","? ","!","%a\n","---\n","[,","products: [a, ","{}","[]","- a\n", "  - b\n","<<: ", "a:\n","1 ","\"\\x","é","a: >\n\n\n x\n"}{
  n:=(1<<20)/len(p)
  if n>60000 {n=60000}
  t0:=time.Now(); _,_,err:=s.With("x",[]byte(strings.Repeat(p,n)))
  m:=fmt.Sprint(err); if len(m)>90{m=m[:90]}
  fmt.Printf("%q %v %d %q\n",p,time.Since(t0),n,m)
 }
}
