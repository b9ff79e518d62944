import { readFileSync } from "node:fs";
import { parse } from "yaml";
import { openBench, instrumentEntrySchema, connectTcp } from "/work/main/src/instruments/index.ts";
import { startSimulatedBench, lockStepClock } from "/work/main/src/bench/index.ts";
import { temperatureOf } from "/work/main/src/thermometry/index.ts";
const entries = ["scpi-heat-source","scpi-thermometer-readout","scpi-transmitter-trim"].map(n=>instrumentEntrySchema.parse(parse(readFileSync(`/work/main/catalog/instruments/${n}.yaml`,"utf8"))));
const clock = lockStepClock({speed: Infinity});
const cls = process.argv[2] ?? "dry-block"; const unit = (process.argv[3] ?? "mV") as any; const points = (process.argv[4] ?? "0,100,250,400").split(",").map(Number);
const tcp = process.argv[5]==="tcp";
const instruments=[{id:"source",entry:"scpi-heat-source",at:"simulated",role:"source"},{id:"readout",entry:"scpi-thermometer-readout",at:"simulated",role:"readout"},{id:"item-1",entry:"scpi-transmitter-trim",at:"simulated",role:"item"}] as const;
const channels={reference:{instrument:"readout",input:1,unit:"Ω"},"item-1":{instrument:"readout",input:2,unit},junction:{instrument:"readout",input:3,unit:"°C"},source:{instrument:"source",input:1,unit:"°C"}} as const;
const sim = await startSimulatedBench({simulation:{source:{class:cls}, items:{"item-1":{}}},instruments,channels,clock,seed:3,listen: tcp?{}:false});
const bench=openBench({instruments,channels,entries,connect: tcp? ({id})=>connectTcp(sim.addresses[id]!): sim.connect,clock});
console.log(await bench.prepare());
await bench.switchOutput(true);
const itemSensor = sim.plant.plan.items[0]!.sensor, refSensor=sim.plant.plan.reference.sensor;
let t=0; const cpu=process.cpuUsage(); const w=performance.now();
for (const p of points){
  const r=await bench.commandSetPoint(p); if(!r.ok) console.log(r);
  const start=t; const diffs:number[]=[]; const refs:number[]=[];
  for(let i=0;i<1500;i++){ t+=1; await clock.sleepUntil(t);
    const a=await bench.read(["reference","item-1","junction","source"]);
    const v=a.map(x=>x.outcome.ok?x.outcome.value.value:NaN);
    const tr=temperatureOf(refSensor,v[0]!); const ti=temperatureOf(itemSensor,v[1]!,{coldJunction:0});
    refs.push(tr.ok?tr.value.temperature:NaN); diffs.push(ti.ok&&tr.ok?ti.value.temperature-tr.value.temperature:NaN);
  }
  const end=diffs.slice(-200).reduce((a,b)=>a+b)/200; let last=0; for(let i=0;i<diffs.length-30;i++){const m=diffs.slice(i,i+30).reduce((a,b)=>a+b)/30; if(Math.abs(m-end)>0.02) last=i+30;}
  let lastr=0; const rend=refs.slice(-100).reduce((a,b)=>a+b)/100; refs.forEach((x,i)=>{if(Math.abs(x-rend)>0.05) lastr=i});
  console.log(p, "settled diff after min", (last/60).toFixed(1), "ref within 50mK after", (lastr/60).toFixed(1), "ref end", refs.at(-1), "diff", end, "truth", sim.truth("item-1", refs.at(-1)!), Math.max(...refs)-p);
}
console.log("cpu", process.cpuUsage(cpu), performance.now()-w, "ms for", t, "s");
console.log(await bench.adjustItem("item-1", 0.1, -0.2), await bench.adjustItem("x",0,0), sim.plant.trims("item-1"));
await bench.close(); await sim.close();
