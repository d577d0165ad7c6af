const e=Object.assign(new EventTarget,{event:null});function t(){addEventListener("beforeinstallprompt",n=>{n.preventDefault(),e.event=n,e.dispatchEvent(new Event("changed"))})}export{t as h,e as o};
