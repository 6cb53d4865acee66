// Selecting in the report: the only script of the page. It reads what it shows from the tables, so it knows
// nothing that the page does not say.
#include "render/papers/report_parts.hpp"

namespace loomward {
namespace {

constexpr const char* finding_things = R"((function(){'use strict';
var doc=document,names='a[href^="#w-"]:not([data-row]),a[href^="#p-"]:not([data-row])',slip=doc.getElementById('slip'),said=doc.getElementById('said'),pick=doc.getElementById('pick'),
boxes=[].slice.call(doc.querySelectorAll('.sheetbox')),last=null;
function all(what,where){return [].slice.call((where||doc).querySelectorAll(what))}
function make(name,css,text){var e=doc.createElement(name);if(css)e.className=css;if(text!=null)e.textContent=text;return e}
function rowOf(anchor){var e=doc.getElementById(anchor);return e&&/^[wp]-/.test(anchor)?e:null}
function nameOf(anchor){var r=rowOf(anchor),a=r&&r.querySelector(names);return a?a.textContent:''}
function told(flag){return doc.getElementById(flag.getAttribute('href').slice(1))}
all('a.flag').forEach(function(a){var f=told(a),h=f&&f.querySelector('h3');if(h)a.title=h.textContent});
var anchorOf={},wiresOf={};
all('#wirelist tbody tr').forEach(function(r){var c=r.cells;anchorOf[c[0].textContent]=r.id;
 [1,2].forEach(function(i){var a=c[i].querySelector(names);if(a){var p=a.getAttribute('href').slice(1);(wiresOf[p]=wiresOf[p]||[]).push(r.id)}})});
all('#parts tbody tr[id],#connectors h3[id]').forEach(function(r){var n=nameOf(r.id);if(n)anchorOf[n]=r.id});
)";

constexpr const char* showing = R"(function clear(){boxes.forEach(function(b){b.classList.remove('sel')});
 all('.lit,.core,tr.on').forEach(function(e){e.classList.remove('lit','core','on')});
 slip.hidden=true;doc.body.classList.remove('has-slip');if(pick)pick.value='';said.textContent='Nothing selected.'}
function drawn(anchor){var n=nameOf(anchor);if(!n)return [];
 return boxes.reduce(function(list,b){return list.concat(all('[data-wire],[data-part],[data-rest-of]',b).filter(function(g){
  return g.getAttribute('data-wire')===n||g.getAttribute('data-part')===n||g.getAttribute('data-rest-of')===n}))},[])}
function light(around,core){boxes.forEach(function(b){b.classList.add('sel')});
 around.concat(core).forEach(function(a){drawn(a).forEach(function(g){g.classList.add('lit')})});
 var first=null;core.forEach(function(a){drawn(a).forEach(function(g){g.classList.add('core');first=first||g});
  var r=doc.getElementById(a);if(r&&r.tagName==='TR')r.classList.add('on')});
 if(first){var b=first.closest('.sheetbox'),r=first.getBoundingClientRect(),B=b.getBoundingClientRect();
  b.scrollLeft+=r.left-B.left-B.width/2+r.width/2;b.scrollTop+=r.top-B.top-B.height/2+r.height/2}}
function toSheet(){var g=doc.querySelector('.core'),b=g?g.closest('.sheetbox'):boxes[0];if(!b)return;
 window.scrollTo({top:b.getBoundingClientRect().top+window.scrollY-58,behavior:'instant'})}
function open(title,fill){slip.textContent='';var x=make('button','b x','\u00d7');x.type='button';
 x.setAttribute('aria-label','Close, clear selection');x.onclick=close;slip.appendChild(x);
 slip.appendChild(make('h3','',title));fill(slip);slip.hidden=false;doc.body.classList.add('has-slip')}
function close(){clear();if(last&&last.focus)last.focus()}
function copyCells(row,where){var dl=make('dl'),heads=row.closest('table').tHead.rows[0].cells;
 for(var i=1;i<row.cells.length;i++){var t=row.cells[i].textContent.trim();if(!t||t==='\u2014')continue;
  dl.appendChild(make('dt','',heads[i].textContent));var d=make('dd');
  [].forEach.call(row.cells[i].childNodes,function(n){d.appendChild(n.cloneNode(true))});dl.appendChild(d)}
 where.appendChild(dl)}
function address(text){if(history.replaceState)history.replaceState(null,'','#show='+encodeURIComponent(text))}
function anchorsIn(where){return all(names,where).map(function(a){return a.getAttribute('href').slice(1)})}
function show(anchor){var row=rowOf(anchor);if(!row)return;clear();var name=nameOf(anchor),wires=wiresOf[anchor]||[];
 var around=anchor[0]==='w'?anchorsIn(row.cells[1]).concat(anchorsIn(row.cells[2])):wires;light(around,[anchor]);
 if(pick)pick.value=name;
 open(row.tagName==='TR'?row.cells[0].textContent:name,function(s){if(row.tagName==='TR')copyCells(row,s);
  else s.appendChild(make('p','',row.nextElementSibling?row.nextElementSibling.textContent:''));
  if(wires.length){var p=make('p','','wires ');wires.forEach(function(w){var a=make('a','',nameOf(w));a.href='#'+w;p.appendChild(a);
   p.appendChild(doc.createTextNode(' '))});s.appendChild(p)}
  var a=make('a','','to its row');a.href='#'+anchor;a.setAttribute('data-row','');s.appendChild(a)});
 said.textContent='Selected '+name;address(name)}
function find(number){var f=doc.getElementById('f-'+number);if(!f)return;clear();
 light(anchorsIn(f.querySelector('dl')||f),anchorsIn(f.querySelector('h3')));if(pick)pick.value='f'+number;
 open('Finding '+number,function(s){all('h3,.beside,.fb>div>p',f).forEach(function(e){var p=make('p');
  [].forEach.call(e.childNodes,function(n){p.appendChild(n.cloneNode(true))});s.appendChild(p)});
  var a=make('a','','working and source');a.href='#f-'+number;a.setAttribute('data-row','');s.appendChild(a)});
 said.textContent='Finding '+number+': '+f.querySelector('h3').textContent;address('f'+number)}
function cause(number){var c=doc.getElementById('c-'+number);if(!c)return;clear();
 var core=anchorsIn(c.querySelector('h4')),around=anchorsIn(c);
 all('a.flag',c).forEach(function(a){var f=told(a);if(f)around=around.concat(anchorsIn(f.querySelector('dl')))});
 light(around,core);open('Cause '+number,function(s){all('h4,.why,.do p',c).forEach(function(e){var p=make('p');
  [].forEach.call(e.childNodes,function(n){p.appendChild(n.cloneNode(true))});s.appendChild(p)})});
 said.textContent='Cause '+number+': '+c.querySelector('h4').textContent;address('c'+number)}
function named(v){if(!v)clear();else if(Object.prototype.hasOwnProperty.call(anchorOf,v))show(anchorOf[v]);else if(/^f\d+$/.test(v))find(v.slice(1));
 else if(/^c\d+$/.test(v))cause(v.slice(1))}
)";

constexpr const char* listening =
    R"(doc.addEventListener('click',function(e){var a=e.target.closest('a,button');
 if(a&&a.hasAttribute('data-row')){clear();return}
 if(a&&a.hasAttribute('data-cause')){last=a;cause(a.getAttribute('data-cause'));toSheet();return}
 if(a&&a.classList.contains('flag')){e.preventDefault();last=a;find(a.getAttribute('href').slice(3));
  if(!a.closest('.slip'))toSheet();return}
 if(a&&a.matches(names)){e.preventDefault();last=a;show(a.getAttribute('href').slice(1));
  if(!a.closest('.slip')&&!a.closest('.sheetbox'))toSheet();return}
 var g=e.target.closest('.sheetbox [data-wire],.sheetbox [data-part],.sheetbox [data-rest-of]');
 if(g&&!a){last=pick;named(g.getAttribute('data-wire')||g.getAttribute('data-part')||g.getAttribute('data-rest-of'))}
 else if(e.target.closest('.sheetbox')&&!a)clear()});
doc.addEventListener('keydown',function(e){if(e.key==='Escape'&&!slip.hidden)close()});
function group(label,rows){if(!rows.length||!pick)return;var g=make('optgroup');g.label=label;rows.forEach(function(r){
 var o=make('option','',r[1]);o.value=r[0];g.appendChild(o)});pick.appendChild(g)}
group('findings',all('article.finding').map(function(f){var n=f.id.slice(2);return ['f'+n,n+' '+f.querySelector('h3').textContent]}));
group('wires',all('#wirelist tbody tr').map(function(r){var n=r.cells[0].textContent;return [n,n+'  '+r.cells[3].textContent+' '+r.cells[4].textContent]}));
group('parts',all('#parts tbody tr[id],#connectors h3[id]').map(function(r){var n=nameOf(r.id);return [n,(r.tagName==='TR'?r.cells[0]:r).textContent]}));
if(pick)pick.addEventListener('change',function(){last=pick;named(pick.value)});
function zoom(z){boxes.forEach(function(b){b.style.setProperty('--zoom',z+'%');b.setAttribute('data-z',z)})}
all('[data-zoom]').forEach(function(b){b.onclick=function(){var k=b.getAttribute('data-zoom'),z=+(boxes[0].getAttribute('data-z')||100);
 zoom(k==='fit'?100:Math.max(100,Math.min(800,Math.round(z*(k==='+'?1.4:1/1.4)))))}});
if(window.innerWidth<760&&boxes.length)zoom(330);
all('.only-screen[hidden]').forEach(function(e){e.hidden=false});
var print=doc.getElementById('print');if(print)print.onclick=function(){window.print()};
window.addEventListener('beforeprint',clear);
var filter=doc.getElementById('filter');if(filter)filter.addEventListener('input',function(){var v=filter.value.toLowerCase();
 all('#wirelist tbody tr').forEach(function(r){r.hidden=v!==''&&r.textContent.replace(/\u00a0/g,' ').toLowerCase().indexOf(v)<0})});
var m=location.hash.match(/^#show=(.+)$/);if(m){var v=m[1];try{v=decodeURIComponent(v)}catch(e){}named(v);toSheet()}
})();
)";

}  // namespace

std::string report_script() {
    return std::string(finding_things) + showing + listening;
}

}  // namespace loomward
