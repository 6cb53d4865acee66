// Routes: stops and the wires between them, in the order a finger walks.
#include "parser/routes/places.hpp"
#include "parser/routes/wires.hpp"

namespace loomward {
namespace {

class RouteReader {
  public:
    RouteReader(Reading& reading, Scope& scope, const Statement& statement)
        : reading_(reading),
          scope_(scope),
          file_(statement.file),
          tokens_(statement.file, statement.element),
          route_(tokens_.next()) {}

    void read() {
        while (!tokens_.done()) {
            const Token token = tokens_.next();
            if (token.kind == NodeKind::word && token.text.find_first_not_of("+->") == std::string_view::npos)
                take_arrow(token);
            else if (token.kind == NodeKind::word)
                take_stop(token);
            else if (token.kind == NodeKind::wire)
                take_link(token);
            else
                take_stray(token);
        }
        finish();
    }

  private:
    void take_stop(const Token& word) {
        const bool last = nothing_follows();
        if (has_stop_ && link_.kind == LinkKind::none) say_no_wire(word);
        const bool first = !has_stop_ && link_.kind == LinkKind::none;
        const Stop stop = resolve_stop(reading_, scope_, word, first || last ? StopAt::end : StopAt::middle);
        connect(stop);
        stop_ = stop;
        has_stop_ = true;
        link_ = {};
    }

    // Blocks and other strays are said on their own; they do not make a stop one in the middle.
    bool nothing_follows() const {
        for (Tokens rest = tokens_; !rest.done();) {
            const NodeKind kind = rest.next().kind;
            if (kind == NodeKind::word || kind == NodeKind::wire) return false;
        }
        return true;
    }

    void connect(const Stop& stop) {
        const TerminalId from = has_stop_ && stop_.ok ? stop_.leave : TerminalId();
        const TerminalId to = stop.ok ? stop.enter : TerminalId();
        if (link_.kind == LinkKind::wire) {
            scope_.wires[link_.wire.index()].from = from;
            scope_.wires[link_.wire.index()].to = to;
        } else if (link_.kind == LinkKind::direct) {
            scope_.joints.push_back({from, to, link_.where});
        }
    }

    void take_link(const Token& wire) {
        if (!has_stop_ && link_.kind == LinkKind::none)
            reading_.say("open-ended", wire.where, "the route begins with a wire").help =
                "before it comes the terminal where it begins: route B1.+ (W1 16 mm2, 0.2 m, red) F1.in";
        if (link_.kind != LinkKind::none)
            reading_
                .say("no-stop", {wire.where.file, wire.where.begin, wire.where.begin + 1},
                     "two wires follow each other")
                .help = "between them comes the part or terminal where they meet";
        link_ = read_link(reading_, scope_, file_, wire);
    }

    void take_stray(const Token& token) {
        Span where = token.where;
        if (token.kind == NodeKind::block) where.end = where.begin + 1;
        Diagnostic& mistake =
            reading_.say("left-over", where,
                         token.kind == NodeKind::block
                             ? std::string("a route takes no block")
                             : "'" + std::string(token.text) + "' is no place a route can stop at");
        mistake.help = "a route reads: route B1.+ (W1 16 mm2, 0.2 m, red) F1.in";
        broken_ = true;
    }

    // "->" between the stops: said once a route, and read on as if it were not there.
    void take_arrow(const Token& token) {
        if (!broken_)
            reading_.say("stray", token.where, "'" + std::string(token.text) + "' has no meaning here").help =
                "a route is places and wires, one after the other: B1.+ (W1 16 mm2, 0.2 m, red) F1.in";
        broken_ = true;
    }

    void say_no_wire(const Token& word) {
        const Span gap{stop_.where.file, stop_.where.end, stop_.where.end + 1};
        reading_
            .say("no-wire", gap,
                 "no wire leads from " + std::string(stop_.text) + " to " + std::string(word.text))
            .help = "write the wire between them, or (direct) if they are bolted together";
    }

    void finish() {
        if (broken_) return;
        if (link_.kind != LinkKind::none && has_stop_) {
            const Span bracket{link_.where.file, link_.where.end - 1, link_.where.end};
            reading_.say("open-ended", bracket, "the route ends with wire " + std::string(link_.name)).help =
                "after it comes the terminal where it arrives";
        } else if (!has_stop_ && link_.kind == LinkKind::none) {
            reading_.say("open-ended", route_.where, "this route is empty").help =
                "a route reads: route B1.+ (W1 16 mm2, 0.2 m, red) F1.in";
        } else if (has_stop_ && stops_are_one()) {
            reading_.say("open-ended", stop_.where, "the route ends where it begins, without a wire").help =
                "a route reads: route B1.+ (W1 16 mm2, 0.2 m, red) F1.in";
        }
    }
    bool stops_are_one() const { return Tokens(file_, route_.node - 1).end() == stop_node_end(); }
    std::uint32_t stop_node_end() const { return route_.node + 2; }

    Reading& reading_;
    Scope& scope_;
    const FileText& file_;
    Tokens tokens_;
    Token route_;
    Stop stop_;
    bool has_stop_ = false;
    bool broken_ = false;
    Link link_;
};

}  // namespace

void read_route(Reading& reading, Scope& scope, const Statement& statement) {
    RouteReader(reading, scope, statement).read();
}

}  // namespace loomward
