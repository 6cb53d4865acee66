#include "render/sheet/layout/sheet_graph.hpp"

#include <graphviz/cgraph.h>
#include <graphviz/gvc.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <string>

// The headers above define these for themselves.
#undef MIN
#undef MAX

namespace loomward::sheet {
namespace {

// 10 points a millimetre, so that rounding to whole points is harmless.
constexpr double points_per_mm = 10;

std::string complaints;
int collect_complaint(char* text) {
    complaints += text;
    return 0;
}

// The library's own identities are addresses of names, and it walks subgraphs in the order of identities: the
// same graph would be laid out differently from run to run. These count upward instead.
struct Identities {
    std::map<std::string, IDTYPE> by_name;
    std::map<IDTYPE, std::string> by_id;
    IDTYPE next = 1;

    static Identities& of(void* state) { return *static_cast<Identities*>(state); }
    static void* open(Agraph_t*, Agdisc_t*) { return new Identities; }
    static void close(void* state) { delete &of(state); }
    static long map(void* state, int, char* name, IDTYPE* id, int create) {
        Identities& self = of(state);
        if (name) {
            const auto found = self.by_name.find(name);
            if (found != self.by_name.end()) return *id = found->second, 1;
        }
        if (!create) return 0;
        *id = self.next++;
        if (name) self.by_name.emplace(name, *id), self.by_id.emplace(*id, name);
        return 1;
    }
    static long alloc(void*, int, IDTYPE) { return 1; }
    static void free(void*, int, IDTYPE) {}
    static char* print(void* state, int, IDTYPE id) {
        const auto found = of(state).by_id.find(id);
        return found == of(state).by_id.end() ? nullptr : found->second.data();
    }
    static void note(void*, int, void*) {}
};

Agiddisc_t identities = {Identities::open,  Identities::map,   Identities::alloc, Identities::free,
                         Identities::print, Identities::close, Identities::note};
Agdisc_t discipline = {&AgMemDisc, &identities, &AgIoDisc};

char* unconst(const char* text) {
    return const_cast<char*>(text);
}

// Making one reads the library's list of plugins from disk, so one serves every question of a run.
GVC_t* context() {
    static const std::unique_ptr<GVC_t, int (*)(GVC_t*)> shared(gvContext(), gvFreeContext);
    return shared.get();
}

// Graph and layout in the order they must be freed in; geometry dies with the layout.
class Drawing {
  public:
    Drawing() {
        complaints.clear();
        agseterrf(collect_complaint);
        agseterr(AGWARN);
        graph_ = agopen(unconst("sheet"), Agdirected, &discipline);
        // Clusters corrupt memory on freeing unless `newrank` is declared.
        set("newrank", "true");
        set("rankdir", "LR");
        set("splines", "none");
        set("mclimit", "2");
        set("charset", "UTF-8");
        agattr(graph_, AGNODE, unconst("label"), unconst(""));
        agattr(graph_, AGNODE, unconst("shape"), unconst("plain"));
        agattr(graph_, AGNODE, unconst("margin"), unconst("0"));
        agattr(graph_, AGEDGE, unconst("weight"), unconst("1"));
        agattr(graph_, AGEDGE, unconst("minlen"), unconst("1"));
        agattr(graph_, AGEDGE, unconst("dir"), unconst("none"));
        agattr(graph_, AGEDGE, unconst("tailport"), unconst(""));
        agattr(graph_, AGEDGE, unconst("headport"), unconst(""));
        agattr(graph_, AGRAPH, unconst("rank"), unconst(""));
        agattr(graph_, AGRAPH, unconst("margin"), unconst("0"));
    }
    ~Drawing() {
        if (laid_out_) gvFreeLayout(context(), graph_);
        agclose(graph_);
        agseterrf(nullptr);
    }
    Drawing(const Drawing&) = delete;
    Drawing& operator=(const Drawing&) = delete;

    void set(const char* name, const char* value) { agattr(graph_, AGRAPH, unconst(name), unconst(value)); }
    Agraph_t* graph() { return graph_; }

    Agnode_t* add_node(Agraph_t* where, std::size_t index) {
        return agnode(where, unconst(("n" + std::to_string(index)).c_str()), 1);
    }
    // Holds `left` at or left of `right`, without pulling.
    void keep_left(Agnode_t* left, Agnode_t* right) {
        const std::string name = "k" + std::to_string(edges_++);
        Agedge_t* edge = agedge(graph_, left, right, unconst(name.c_str()), 1);
        agset(edge, unconst("weight"), unconst("0"));
        agset(edge, unconst("minlen"), unconst("0"));
    }
    void add_edge(Agnode_t* left, Agnode_t* right, int weight, const std::string& tail_port = {},
                  const std::string& head_port = {}) {
        const std::string name = "e" + std::to_string(edges_++);
        Agedge_t* edge = agedge(graph_, left, right, unconst(name.c_str()), 1);
        agset(edge, unconst("weight"), unconst(std::to_string(weight).c_str()));
        if (!tail_port.empty()) agset(edge, unconst("tailport"), unconst(tail_port.c_str()));
        if (!head_port.empty()) agset(edge, unconst("headport"), unconst(head_port.c_str()));
    }
    void same_rank(const std::vector<Agnode_t*>& nodes) {
        if (nodes.size() < 2) return;
        const std::string name = "r" + std::to_string(ranks_++);
        Agraph_t* group = agsubg(graph_, unconst(name.c_str()), 1);
        agset(group, unconst("rank"), unconst("same"));
        for (Agnode_t* node : nodes) agsubnode(group, node, 1);
    }
    bool lay_out() {
        const int result = gvLayout(context(), graph_, "dot");
        laid_out_ = result == 0;
        return laid_out_ && complaints.empty();
    }

  private:
    Agraph_t* graph_ = nullptr;
    std::size_t edges_ = 0, ranks_ = 0;
    bool laid_out_ = false;
};

long to_points(double mm) {
    return std::lround(mm * points_per_mm);
}
std::string port_name(double mm) {
    return "p" + std::to_string(to_points(mm));
}

std::string cell(long width, long height, const std::string& port) {
    return "<TR><TD" + (port.empty() ? "" : " PORT=\"" + port + "\"") + " FIXEDSIZE=\"TRUE\" WIDTH=\"" +
           std::to_string(width) + "\" HEIGHT=\"" + std::to_string(height) + "\"></TD></TR>";
}

// A column of cells of fixed size: one of four points a landing, spacers between.
std::string table_of(const HeightQuestion::Node& node) {
    std::vector<long> ports;
    for (const double port : node.ports) ports.push_back(to_points(port));
    std::sort(ports.begin(), ports.end());
    ports.erase(std::unique(ports.begin(), ports.end()), ports.end());
    const long height = std::max(1L, to_points(node.height)), width = std::max(1L, to_points(node.width));
    std::string rows;
    long filled = 0;
    for (const long port : ports) {
        const long from = std::max(port - 2, filled), to = std::max(port + 2, from + 1);
        if (from > filled) rows += cell(width, from - filled, {});
        rows += cell(width, to - from, "p" + std::to_string(port));
        filled = to;
    }
    if (height > filled) rows += cell(width, height - filled, {});
    return "<TABLE BORDER=\"0\" CELLBORDER=\"0\" CELLSPACING=\"0\" CELLPADDING=\"0\">" + rows + "</TABLE>";
}

void add_nodes(Drawing& drawing, const HeightQuestion& question, std::vector<Agnode_t*>& nodes) {
    std::map<int, Agraph_t*> clusters;
    const std::string margin = std::to_string(to_points(question.cluster_margin));
    for (std::size_t i = 0; i < question.nodes.size(); ++i) {
        const HeightQuestion::Node& node = question.nodes[i];
        Agraph_t* where = drawing.graph();
        if (node.cluster >= 0) {
            Agraph_t*& cluster = clusters[node.cluster];
            if (!cluster) {
                const std::string name = "cluster_" + std::to_string(node.cluster);
                cluster = agsubg(drawing.graph(), unconst(name.c_str()), 1);
                agset(cluster, unconst("margin"), unconst(margin.c_str()));
            }
            where = cluster;
        }
        nodes.push_back(drawing.add_node(where, i));
        // As a C string the label would be drawn as text; the html flavour makes it a table.
        char* html = agstrdup_html(drawing.graph(), unconst(table_of(node).c_str()));
        agset(nodes.back(), unconst("label"), html);
        agstrfree(drawing.graph(), html);
    }
}

}  // namespace

namespace {

std::optional<std::vector<int>> columns_for(const ColumnQuestion& question) {
    Drawing drawing;
    drawing.set("nodesep", "0.1");
    drawing.set("ranksep", "0.3");
    agattr(drawing.graph(), AGNODE, unconst("shape"), unconst("box"));
    agattr(drawing.graph(), AGNODE, unconst("fixedsize"), unconst("true"));
    agattr(drawing.graph(), AGNODE, unconst("width"), unconst("0.2"));
    agattr(drawing.graph(), AGNODE, unconst("height"), unconst("0.2"));
    std::vector<Agnode_t*> nodes;
    for (std::size_t i = 0; i < static_cast<std::size_t>(question.count); ++i)
        nodes.push_back(drawing.add_node(drawing.graph(), i));
    const auto node = [&](int index) { return nodes[static_cast<std::size_t>(index)]; };
    const auto share = [&](const std::vector<int>& members) {
        std::vector<Agnode_t*> list;
        for (const int member : members) list.push_back(node(member));
        drawing.same_rank(list);
    };
    share(question.rightmost);
    share(question.leftmost);
    for (const std::vector<int>& members : question.same) share(members);
    std::vector<bool> follows(nodes.size()), leads(nodes.size());
    for (const ColumnQuestion::Edge& edge : question.edges) {
        if (edge.left == edge.right) continue;
        drawing.add_edge(node(edge.left), node(edge.right), edge.weight);
        leads[static_cast<std::size_t>(edge.left)] = follows[static_cast<std::size_t>(edge.right)] = true;
    }
    // (`rank=min` and `max` do not hold against edges under `newrank`.)
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        const auto among = [&](const std::vector<int>& list) {
            return std::find(list.begin(), list.end(), static_cast<int>(i)) != list.end();
        };
        if (among(question.leftmost) || among(question.rightmost)) continue;
        if (!follows[i] && !question.leftmost.empty())
            drawing.keep_left(node(question.leftmost.front()), nodes[i]);
        if (!leads[i] && !question.rightmost.empty())
            drawing.keep_left(nodes[i], node(question.rightmost.front()));
    }
    if (!drawing.lay_out()) return std::nullopt;

    std::vector<long> places;
    for (Agnode_t* each : nodes) places.push_back(std::lround(ND_coord(each).x));
    std::vector<long> sorted = places;
    std::sort(sorted.begin(), sorted.end());
    sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
    std::vector<int> columns;
    for (const long place : places)
        columns.push_back(
            static_cast<int>(std::lower_bound(sorted.begin(), sorted.end(), place) - sorted.begin()));
    return columns;
}

std::optional<std::vector<double>> heights_for(const HeightQuestion& question) {
    Drawing drawing;
    drawing.set("nodesep", std::to_string(question.gap * points_per_mm / 72).c_str());
    drawing.set("ranksep", "0.5");
    std::vector<Agnode_t*> nodes;
    add_nodes(drawing, question, nodes);
    std::map<int, std::vector<Agnode_t*>> columns;
    for (std::size_t i = 0; i < nodes.size(); ++i) columns[question.nodes[i].column].push_back(nodes[i]);
    for (const auto& [column, members] : columns) drawing.same_rank(members);
    for (const HeightQuestion::Edge& edge : question.edges)
        drawing.add_edge(nodes[static_cast<std::size_t>(edge.left)],
                         nodes[static_cast<std::size_t>(edge.right)], edge.weight,
                         port_name(edge.left_port) + ":e", port_name(edge.right_port) + ":w");
    if (!drawing.lay_out()) return std::nullopt;

    std::vector<double> tops;
    for (std::size_t i = 0; i < nodes.size(); ++i)
        tops.push_back(-ND_coord(nodes[i]).y / points_per_mm - question.nodes[i].height / 2);
    return tops;
}

// A bar of many users alike is cut into pieces alike, each laid out several times: one answer serves them
// all.
template <class Question, class Answer>
Answer known_or(const Question& question, std::size_t size, Answer (*find)(const Question&)) {
    constexpr std::size_t small = 120, most = 1024;
    static std::map<Question, Answer> known;
    if (size > small) return find(question);
    const auto found = known.find(question);
    if (found != known.end()) return found->second;
    if (known.size() == most) known.clear();
    return known.emplace(question, find(question)).first->second;
}

}  // namespace

std::optional<std::vector<int>> ask_columns(const ColumnQuestion& question) {
    return known_or(question, static_cast<std::size_t>(question.count), columns_for);
}

std::optional<std::vector<double>> ask_heights(const HeightQuestion& question) {
    return known_or(question, question.nodes.size(), heights_for);
}

}  // namespace loomward::sheet
