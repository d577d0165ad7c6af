var s=class{#t=null;wait(t){this.#t=t,requestAnimationFrame(()=>setTimeout(()=>this.catchUp())),setTimeout(()=>this.catchUp(),100)}catchUp(){let t=this.#t;this.#t=null,t?.()}};export{s as a};
