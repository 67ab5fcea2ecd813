"""How well the water book knows made-up systems whose figures are known.

Run with ``make book``; ``--systems N`` takes more or fewer, ``--first N`` other ones.
"""
import argparse, time
import numpy as np
from bench.simulated_systems import Simulated, simulate
from kb.book.course import course, angle_of, dose_mg_l
from kb.book.bank import run
from kb.book.draws import draw
from kb.book.estimates import estimates
from kb.book.chemistry import gas_at
from kb.book.know import _ahead, _temperature
from kb.book.model import Reading
import math, sys

def truths(sim):
    t=sim.truth
    d={"acid-load":t.load_g_day,"load-per-feed":t.load_per_100_g,"alkalinity-now":t.alkalinity,"ph-now":t.ph,
       "days-to-floor":t.days_to_floor}
    for b,k in t.kept.items(): d["effectiveness-"+b]=k*100
    return d

n=int(sys.argv[1]); first=int(sys.argv[2]) if len(sys.argv)>2 else 0
cov={}; fc={}; rt=[]
for seed in range(first,first+n):
    sim=simulate(seed)
    t0=time.perf_counter()
    walk=course(sim.book,sim.now); post=run(sim.book.system,walk); dr=draw(sim.book.system,walk,post)
    rt.append(time.perf_counter()-t0)
    k=gas_at(_temperature(sim.book,sim.now))
    tr=truths(sim)
    e90={e.id:e for e in estimates(sim.book,dr,level=.9,angle=angle_of(sim.now),k=k)}
    e50={e.id:e for e in estimates(sim.book,dr,level=.5,angle=angle_of(sim.now),k=k)}
    for name,true in tr.items():
        if name not in e90: continue
        key=name.split("-")[0] if name.startswith("eff") else name
        if sim.nature.alkalinity_every==0: key+="/ph-only"
        a,b=e90[name],e50[name]
        tt=min(true,365)
        if math.isinf(true): tt=max(90.0, a.value) if a.high>=90 else 90.
        cov.setdefault(key,[]).append((a.low<=tt<=a.high,b.low<=tt<=b.high,(a.high-a.low)/max(abs(tt),1e-9),(a.value-tt),(tt-a.value)/max(1e-9,(a.high-a.low)/3.29)))
        if len(sys.argv)>3: print(seed,name,round(true,2),a.as_text())
    reads={q:[(e.at,e.value) for e in sim.book.entries if isinstance(e,Reading) and e.quantity==q] for q in("ph","alkalinity")}
    for mode,planned,true,read in(("undosed",False,sim.truth.undosed,sim.truth.read_undosed),("usual",True,sim.truth.as_usual,sim.truth.read_as_usual)):
        f90=_ahead(sim.book,dr,sim.now,_temperature(sim.book,sim.now),.9); f50=_ahead(sim.book,dr,sim.now,_temperature(sim.book,sim.now),.5)
        for days in(1,3,7):
            for i,(p,p5) in enumerate(zip(f90(float(days),(),planned),f50(float(days),(),planned))):
                q=p.quantity
                if len(reads[q])<3: continue
                last=reads[q][-1][1]
                x=[((at-sim.now).total_seconds()/86400,v) for at,v in reads[q] if (sim.now-at).days<(7 if q=="ph" else 14)]
                if len(x)>=2 and len({a for a,_ in x})>1:
                    c=np.polyfit(*zip(*x),1); line=c[0]*days+c[1]
                else: line=last
                tv=true[days][i]; rv=read[days][i]
                fc.setdefault((mode,q,days),[]).append((abs(p.value-tv),abs(last-tv),abs(line-tv),p.low<=rv<=p.high,p5.low<=rv<=p5.high))
print("runtime median %.3f max %.3f"%(np.median(rt),max(rt)))
for k,v in sorted(cov.items()):
    v=np.array(v,float); print(f"{k:28s} n={len(v):4d} cov90={v[:,0].mean()*100:5.1f} cov50={v[:,1].mean()*100:5.1f} relwidth={np.median(v[:,2]):.2f} bias={np.median(v[:,3]):.2f} zmean={np.mean(np.clip(v[:,4],-5,5)):.2f} zsd={np.std(np.clip(v[:,4],-5,5)):.2f}")
allv=np.concatenate([np.array(v,float) for v in cov.values()]); print("all",allv[:,0].mean(),allv[:,1].mean())
for k,v in sorted(fc.items()):
    v=np.array(v,float); print(k,"n=%d mae book %.3f same %.3f line %.3f cov90 %.2f cov50 %.2f"%(len(v),v[:,0].mean(),v[:,1].mean(),v[:,2].mean(),v[:,3].mean(),v[:,4].mean()))
