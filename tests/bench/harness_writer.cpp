#include "tests/bench/harness_writer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <random>
#include <string_view>
#include <utility>
#include <vector>

namespace loomward::bench {
namespace {

constexpr std::size_t trolleys_in_a_group = 8;
constexpr std::size_t wires_of_a_trolley = 20;

struct WireText {
    std::string_view size;  // "1.5"
    double length_m = 0;
    std::string_view colour;
    std::string bundle;  // may be empty
};

// Writes both texts side by side. In the JSON an attribute is a list of numbers and words, a nameless value
// has its dimension for a name, and a wire says where it begins and ends.
class Writer {
  public:
    explicit Writer(std::uint32_t seed) : random_(seed) {
        loom_ = "loom 1\n";
        json_ = "{\"edition\": 1,\n";
    }

    void line(std::string_view text) { (loom_ += text) += '\n'; }

    void begin(std::string_view json_list) {
        json_ += fmt::format("\"{}\": [\n", json_list);
        first_ = true;
    }
    void end() { json_ += "\n],\n"; }

    // `attributes` as the language writes them, `json` as an object's members.
    void part(std::string_view kind, std::string_view name, std::string_view label,
              std::string_view attributes, std::string_view json, std::string_view type = {}) {
        std::string shown = label.empty() ? std::string() : fmt::format(" \"{}\"", label);
        if (!type.empty()) shown += fmt::format(" is {}", type);
        loom_ += fmt::format("{} {}{}{}\n", kind, name, shown,
                             attributes.empty() ? std::string() : fmt::format(" {{ {} }}", attributes));
        next() +=
            fmt::format(R"({{"kind": "{}", "name": "{}", "label": "{}", "is": "{}", "attributes": {{{}}}}})",
                        kind, name, label, type, json);
        ++parts_;
    }

    // A route of the loom text and its wires in the JSON: stops "a", "b in out", ...
    struct Stop {
        std::string walk;    // how a route names it: "F1"
        std::string arrive;  // where a wire to it ends: "F1.in"
        std::string leave;   // where the next begins: "F1.out"
    };
    void route(const std::vector<Stop>& stops, const std::vector<WireText>& wires) {
        loom_ += "route";
        std::size_t column = 5;
        for (std::size_t i = 0; i < wires.size(); ++i) {
            const WireText& wire = wires[i];
            const std::string name = fmt::format("W{}", ++wires_);
            const std::string in = wire.bundle.empty() ? std::string() : ", in " + wire.bundle;
            const std::string shown = fmt::format(" {} ({} {} mm2, {:.2f} m, {}{})", stops[i].walk, name,
                                                  wire.size, wire.length_m, wire.colour, in);
            put(shown, column);
            const std::string bundle =
                wire.bundle.empty() ? std::string() : fmt::format(R"(, "in": ["{}"])", wire.bundle);
            pending_ += fmt::format(
                R"({}{{"name": "{}", "from": "{}", "to": "{}", "mm2": {}, "m": {:.2f}, "colour": "{}"{}}})",
                pending_.empty() ? "" : ",\n", name, stops[i].leave, stops[i + 1].arrive, wire.size,
                wire.length_m, wire.colour, bundle);
        }
        put(" " + stops.back().walk, column);
        loom_ += '\n';
    }
    void wires() { json_ += std::exchange(pending_, {}); }

    std::string& next() {
        if (!first_) json_ += ",\n";
        first_ = false;
        return json_;
    }

    // 0.1 to 3 m in steps of 5 cm
    double length(double from, double to) {
        const auto steps = static_cast<std::uint32_t>((to - from) * 20 + 0.5);
        return from + 0.05 * static_cast<double>(random_() % (steps + 1));
    }
    std::uint32_t below(std::uint32_t limit) { return static_cast<std::uint32_t>(random_() % limit); }

    GeneratedHarness take() {
        json_ += "\"title\": \"Glasshouse train\"}\n";
        return {std::move(loom_), std::move(json_), wires_, parts_};
    }

  private:
    void put(const std::string& piece, std::size_t& column) {
        if (column + piece.size() > 100) {
            loom_ += "\n   ";
            column = 3;
        }
        loom_ += piece;
        column += piece.size();
    }

    std::mt19937 random_;
    std::string loom_;
    std::string json_;
    std::string pending_;
    bool first_ = true;
    std::size_t wires_ = 0;
    std::size_t parts_ = 0;
};

Writer::Stop through(const std::string& name) {
    return {name, name + ".in", name + ".out"};
}
Writer::Stop load(const std::string& name) {
    return {name, name + ".+", name + ".-"};
}
Writer::Stop at(const std::string& terminal) {
    return {terminal, terminal, terminal};
}
Writer::Stop plug(const std::string& half, const std::string& other, int contact) {
    return {fmt::format("{}.{}", half, contact), fmt::format("{}.{}", half, contact),
            fmt::format("{}.{}", other, contact)};
}

void write_types(Writer& writer) {
    writer.line(R"(harness "Glasshouse train" { revision "A", ambient 5..40 degC, insulation pvc 90 degC })");
    writer.line("");
    writer.line("part bank is pack {");
    writer.line("  cells 7s40p, cell-voltage 3.0..4.2 V, cell-resistance 20..30 mohm, cell-capacity 5 Ah");
    writer.line("  discharge 120 A, charge 40 A");
    writer.line("}");
    writer.line("part main-fuse is fuse { 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }");
    writer.line("part way-fuse is fuse { 32 V dc, breaks 10 kA at 32 V dc, curve iso8820-3 }");
    writer.line("");
}

void write_group(Writer& writer, std::size_t group) {
    const std::string g = fmt::format("{}", group);
    writer.part("pack", "B" + g, "", "", "", "bank");
    writer.part("fuse", "F" + g, "pack " + g, "60 A", R"("rated-current": [60, "A"])", "main-fuse");
    writer.part(
        "switch", "S" + g, "main switch " + g, "80 V dc, carries 100 A, makes 100 A, breaks 100 A at 60 V dc",
        R"("voltage": [80, "V", "dc"], "carries": [100, "A"], "makes": [100, "A"], "breaks": [100, "A", 60, "V", "dc"])");
    writer.part("busbar", "XP" + g, "", "studs 2, carries 120 A", R"("studs": [2], "carries": [120, "A"])");
    writer.part("busbar", "XN" + g, "", "studs 4, carries 120 A", R"("studs": [4], "carries": [120, "A"])");
    writer.route({at("B" + g + ".+"), through("F" + g), through("S" + g), at("XP" + g + ".1")},
                 {{"16", writer.length(0.1, 0.15), "red", ""},
                  {"16", writer.length(0.2, 0.5), "red", ""},
                  {"16", writer.length(0.2, 0.5), "red", ""}});
    writer.route({at("B" + g + ".-"), at("XN" + g + ".1")}, {{"16", writer.length(0.1, 0.5), "black", ""}});
    if (group > 1)
        writer.route({at(fmt::format("XN{}.3", group - 1)), at("XN" + g + ".4")},
                     {{"16", writer.length(0.5, 2), "black", ""}});
}

void write_trolley_parts(Writer& writer, const std::string& t) {
    writer.part(
        "connector", "J" + t, "",
        fmt::format("mate P{}, half socket, contacts 2, carries 80 A, 60 V, takes 10..25 mm2, "
                    "rated-at 30 degC, limit 105 degC",
                    t),
        fmt::format(
            R"("mate": ["P{}"], "half": ["socket"], "contacts": [2], "carries": [80, "A"], "voltage": [60, "V"], )"
            R"("takes": [10, 25, "mm2"], "rated-at": [30, "degC"], "limit": [105, "degC"])",
            t));
    writer.part("busbar", "XP" + t, "", "studs 4, carries 120 A", R"("studs": [4], "carries": [120, "A"])");
    writer.part("busbar", "XN" + t, "", "studs 10, carries 120 A", R"("studs": [10], "carries": [120, "A"])");
    writer.part("fuse-block", "XF" + t, "", "ways 4, feed common, carries 60 A, way-carries 15 A",
                R"("ways": [4], "feed": ["common"], "carries": [60, "A"], "way-carries": [15, "A"])");
    for (int way = 1; way <= 4; ++way)
        writer.part("fuse", fmt::format("F{}_{}", t, way), "", fmt::format("5 A, holder XF{}.{}", t, way),
                    fmt::format(R"("rated-current": [5, "A"], "holder": ["XF{}.{}"])", t, way), "way-fuse");
    for (int n = 1; n <= 2; ++n)
        writer.part("switch", fmt::format("S{}_{}", t, n), n == 1 ? "row lamps" : "step lamp",
                    "32 V dc, carries 6 A, breaks 4 A at 32 V dc",
                    R"("voltage": [32, "V", "dc"], "carries": [6, "A"], "breaks": [4, "A", 32, "V", "dc"])");
    for (int n = 1; n <= 4; ++n) {
        const std::uint32_t watts = 5 + writer.below(4) * 2;
        writer.part("load", fmt::format("H{}_{}", t, n), "", fmt::format("24 V, {} W, acts-as power", watts),
                    fmt::format(R"("voltage": [24, "V"], "power": [{}, "W"], "acts-as": ["power"])", watts));
    }
    writer.part("load", "M" + t, "spray pump", "24 V, 2 A, acts-as current",
                R"("voltage": [24, "V"], "current": [2, "A"], "acts-as": ["current"])");
    writer.part(
        "connector", "JL" + t, "",
        fmt::format("mate PL{}, half socket, contacts 2, carries 8 A, 60 V, takes 0.5..2.5 mm2, "
                    "rated-at 25 degC, limit 85 degC",
                    t),
        fmt::format(
            R"("mate": ["PL{}"], "half": ["socket"], "contacts": [2], "carries": [8, "A"], "voltage": [60, "V"], )"
            R"("takes": [0.5, 2.5, "mm2"], "rated-at": [25, "degC"], "limit": [85, "degC"])",
            t));
    writer.line(fmt::format("bundle L{} {{ wrap taped, length 0.1 m }}", t));
}

void write_trolley_wires(Writer& writer, std::size_t group, std::size_t trolley, bool first) {
    const std::string t = fmt::format("{}t{}", group, trolley);
    const std::string before = first ? fmt::format("{}", group) : fmt::format("{}t{}", group, trolley - 1);
    const std::string bundle = "L" + t;
    const auto trunk = [&](std::string_view colour) {
        return WireText{"16", writer.length(0.3, 0.8), colour, bundle};
    };
    const auto thin = [&](std::string_view colour) {
        return WireText{"1.5", writer.length(0.2, 2), colour, bundle};
    };
    writer.route({at("XP" + before + ".2"), plug("J" + t, "P" + t, 1), at("XP" + t + ".1")},
                 {trunk("red"), trunk("red")});
    writer.route({at("XN" + before + ".2"), plug("J" + t, "P" + t, 2), at("XN" + t + ".1")},
                 {trunk("black"), trunk("black")});
    writer.route({at("XP" + t + ".3"), at("XF" + t + ".in")}, {{"16", 0.15, "red", ""}});
    writer.route({at("F" + t + "_1.out"), through("S" + t + "_1"), load("H" + t + "_1"), at("XN" + t + ".3")},
                 {thin("yellow"), thin("yellow"), thin("black")});
    writer.route({at("H" + t + "_1.+"), at("H" + t + "_2.+")}, {thin("yellow")});
    writer.route({at("H" + t + "_1.-"), at("H" + t + "_2.-")}, {thin("black")});
    writer.route({at("F" + t + "_2.out"), plug("JL" + t, "PL" + t, 1), load("H" + t + "_3"),
                  plug("PL" + t, "JL" + t, 2), at("XN" + t + ".4")},
                 {thin("orange"), thin("orange"), thin("black"), thin("black")});
    writer.route({at("F" + t + "_3.out"), load("M" + t), at("XN" + t + ".5")}, {thin("blue"), thin("black")});
    writer.route({at("F" + t + "_4.out"), through("S" + t + "_2"), load("H" + t + "_4"), at("XN" + t + ".6")},
                 {thin("white"), thin("white"), thin("black")});
    // the second minus lead: a loop with the trunk
    writer.route({at("XN" + before + (first ? ".3" : ".7")), at("XN" + t + ".8")}, {trunk("black")});
}

void write_modes(Writer& writer, std::size_t groups, std::size_t trolleys) {
    writer.line("");
    writer.line("mode parked { others at rest }");
    writer.line("mode night {");
    for (std::size_t group = 1; group <= groups; ++group) {
        std::string names = fmt::format("S{}", group);
        for (std::size_t t = 1; t <= trolleys_in_a_group && (group - 1) * trolleys_in_a_group + t <= trolleys;
             ++t)
            names += fmt::format(" S{}t{}_1", group, t);
        writer.line("  " + names + " closed");
    }
    writer.line("  others at rest");
    writer.line("}");
    writer.line("mode spraying { like night, S1t1_2 closed }");
    writer.begin("modes");
    writer.next() += R"({"name": "parked"})";
    std::string list;
    for (std::size_t group = 1; group <= groups; ++group) {
        list += fmt::format(R"({}"S{}")", list.empty() ? "" : ", ", group);
        for (std::size_t t = 1; t <= trolleys_in_a_group && (group - 1) * trolleys_in_a_group + t <= trolleys;
             ++t)
            list += fmt::format(R"(, "S{}t{}_1")", group, t);
    }
    writer.next() += fmt::format(R"({{"name": "night", "closed": [{}]}})", list);
    writer.next() += R"({"name": "spraying", "like": "night", "closed": ["S1t1_2"]})";
    writer.end();
}

}  // namespace

GeneratedHarness generate_harness(std::size_t wires, std::uint32_t seed) {
    Writer writer(seed);
    const std::size_t trolleys =
        std::max<std::size_t>((wires + wires_of_a_trolley - 1) / wires_of_a_trolley, 1);
    const std::size_t groups = (trolleys + trolleys_in_a_group - 1) / trolleys_in_a_group;
    write_types(writer);
    writer.begin("parts");
    for (std::size_t group = 1, trolley = 0; group <= groups; ++group) {
        writer.line(fmt::format("# ---- group {} ----", group));
        write_group(writer, group);
        for (std::size_t t = 1; t <= trolleys_in_a_group && trolley < trolleys; ++t, ++trolley) {
            write_trolley_parts(writer, fmt::format("{}t{}", group, t));
            write_trolley_wires(writer, group, t, t == 1);
        }
    }
    writer.end();
    writer.begin("wires");
    writer.wires();
    writer.end();
    write_modes(writer, groups, trolleys);
    return writer.take();
}

}  // namespace loomward::bench
