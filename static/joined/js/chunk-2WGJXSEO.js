function o(n,r,t=HTMLElement){let e=n.querySelector(r);if(e instanceof t)return e;throw new Error(`There is no ${r} on this page.`)}export{o as a};
