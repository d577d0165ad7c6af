var t=Object.assign(new EventTarget,{event:null});function n(){addEventListener("beforeinstallprompt",e=>{e.preventDefault(),t.event=e,t.dispatchEvent(new Event("changed"))})}export{t as a,n as b};
