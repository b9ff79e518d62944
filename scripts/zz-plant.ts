import { createPlant, simulationSchema } from "#bench";
const channels={reference:{instrument:"readout",input:1,unit:"Ω"},"item-1":{instrument:"readout",input:2,unit:"mV"},junction:{instrument:"readout",input:3,unit:"°C"},source:{instrument:"source",input:1,unit:"°C"}} as const;
for (const read of [false,true,true,true]) {
const p=createPlant({simulation:simulationSchema.parse({items:{"item-1":{}}}),channels,sources:["source"],seed:1,startAt:0});
p.setPoint(200);p.switchOutput(true);
const c=process.cpuUsage();
for(let t=1;t<=3600;t++){p.advanceTo(t); if(read) for(const k of Object.keys(channels)) p.read(k);}
console.log(read, process.cpuUsage(c));
}
