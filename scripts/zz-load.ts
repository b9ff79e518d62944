import { readFileSync } from "node:fs";
import { loadJob } from "#intake";
for (const f of process.argv.slice(2)) { const r = loadJob(readFileSync(f, "utf8"), f); if (r.ok) console.log(f, "OK", r.value.job); else console.log(r.fault.code, "\n"+ (r.fault.data!.fields as {line:number,column:number,path:string,message:string}[]).map(f=>`${f.line}:${f.column} ${f.path}: ${f.message}`).join("\n")); }
