#include "tests/checker/planted.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/currents/loading.hpp"
#include "checker/rules/rule_support.hpp"

namespace planted {

using namespace loomward;
namespace fs = std::filesystem;

namespace {

std::optional<std::string> content(const std::string& name) {
    std::ifstream file(fs::path(LOOMWARD_SOURCE_DIR) / "examples" / fs::path(name).filename(),
                       std::ios::binary);
    if (!file) return std::nullopt;
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

class ExampleFolder final : public FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override { return content(path); }
    std::vector<std::string> beside(const std::string&) override { return {}; }
};

// The block of a part's own statement: from its '{' to its '}'; equal where it has none, at the place for
// one.
struct OwnBlock {
    std::size_t open = 0, close = 0;
};
OwnBlock own_block(const std::string& text, const Span& name) {
    std::size_t at = name.end;
    const auto blanks = [&] {
        while (at < text.size() && text[at] == ' ') ++at;
    };
    blanks();
    if (at < text.size() && text[at] == '"') at = text.find('"', at + 1) + 1;
    std::size_t end = at;
    blanks();
    if (text.compare(at, 3, "is ") == 0) {
        at += 3;
        while (at < text.size() && text[at] != ' ' && text[at] != '\n') ++at;
        end = at;
        blanks();
    }
    if (at < text.size() && text[at] == '{') return {at, text.find('}', at)};
    return {end, end};
}

}  // namespace

ReadResult read_example(const std::string& name, const std::string& text) {
    ExampleFolder folder;
    static const std::vector<RuleInfo> rules = rule_list();
    std::vector<std::string_view> names;
    for (const RuleInfo& rule : rules) names.push_back(rule.name);
    ReadOptions options;
    options.rules = names;
    return read_harness_text(name, text, folder, options);
}

Sound::Sound(const std::string& file) : name(file), text(*content(file)) {
    ReadResult read = read_example(name, text);
    harness = std::make_shared<const Harness>(std::move(*read.harness));
    results = check(harness);
    peak_A.assign(circuit().edges.size(), 0);
    sustained_A = peak_A;
    for (const Course& course : usable_courses(results.points))
        for (std::size_t i = 0; i < peak_A.size(); ++i) {
            peak_A[i] = std::max(peak_A[i], load_of(course, 1e-3, EdgeId(i)).current_A);
            sustained_A[i] = std::max(sustained_A[i], load_of(course, 3600, EdgeId(i)).current_A);
        }
}

std::vector<PartId> Sound::parts(std::initializer_list<loomward::Kind> kinds) const {
    std::vector<PartId> list;
    std::set<Span> seen;
    for (std::size_t i = 0; i < harness->parts.size(); ++i) {
        const Part& each = harness->parts[i];
        if (std::find(kinds.begin(), kinds.end(), each.kind) == kinds.end()) continue;
        if (each.where.file != harness->where.file || !seen.insert(each.where).second) continue;
        list.emplace_back(i);
    }
    return list;
}

std::vector<WireId> Sound::wires() const {
    std::vector<WireId> list;
    std::set<Span> seen;
    for (std::size_t i = 0; i < harness->wires.size(); ++i) {
        const Wire& wire = harness->wires[i];
        if (wire.cable || wire.where.file != harness->where.file || !seen.insert(wire.where).second) continue;
        list.emplace_back(i);
    }
    return list;
}

double Sound::peak_of(PartId id) const {
    double largest = 0;
    for (const EdgeId edge : circuit().edges_of_part[id.index()])
        largest = std::max(largest, peak_A[edge.index()]);
    return largest;
}
double Sound::sustained_of(PartId id) const {
    double largest = 0;
    for (const EdgeId edge : circuit().edges_of_part[id.index()])
        largest = std::max(largest, sustained_A[edge.index()]);
    return largest;
}

double Sound::across_V(EdgeId id) const {
    const Edge& edge = circuit().edge(id);
    double largest = 0;
    for (const OperatingPoint& point : results.points)
        if (point.usable())
            largest =
                std::max(largest, std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]));
    return largest;
}

EdgeId Sound::edge_of(PartId id, EdgeRole role) const {
    for (const EdgeId edge : circuit().edges_of_part[id.index()])
        if (circuit().edge(edge).role == role) return edge;
    return {};
}

bool Sound::leads_to_a_pack(NodeId from) const {
    DisjointSets joined(circuit().node_count());
    for (const Edge& edge : circuit().edges)
        if (is_conductor(edge.role) && edge.role != EdgeRole::converter_reverse)
            joined.join(edge.from.index(), edge.to.index());
    const auto& edges = circuit().edges;
    return std::any_of(edges.begin(), edges.end(), [&](const Edge& edge) {
        return edge.role == EdgeRole::emf && joined.same(edge.to.index(), from.index());
    });
}

std::optional<Quantity> Sound::value(PartId id, Attr attribute) const {
    const Value stated = harness->value(part(id).attributes, attribute);
    if (!stated.present() || stated.known == Knowledge::unknown) return std::nullopt;
    return stated.quantity();
}

std::string with_attributes(const Sound& sound, PartId id,
                            const std::vector<std::pair<Attr, std::string>>& written) {
    const OwnBlock block = own_block(sound.text, sound.part(id).where);
    std::string text = sound.text, added;
    // From the back, so that places before stay where they are.
    std::vector<std::pair<std::pair<std::size_t, std::size_t>, std::string>> replacements;
    for (const auto& [name, words] : written) {
        const Attribute* stated = sound.harness->find(sound.part(id).attributes, name);
        const bool own = stated && stated->where.file == sound.part(id).where.file &&
                         stated->where.begin > block.open && stated->where.begin < block.close;
        if (own) {
            const std::size_t begin = stated->where.begin;
            std::size_t end = sound.text.find_first_of(",\n}#", begin);
            while (end > begin && sound.text[end - 1] == ' ') --end;
            replacements.push_back({{begin, end}, words});
        } else {
            added += (added.empty() ? "" : ", ") + words;
        }
    }
    std::sort(replacements.rbegin(), replacements.rend());
    for (const auto& [place, words] : replacements)
        text.replace(place.first, place.second - place.first, words);
    if (added.empty()) return text;
    if (block.open == block.close) return text.insert(block.open, " { " + added + " }");
    return text.insert(block.open + 1, " " + added + ",");
}

std::string with_attribute(const Sound& sound, PartId part, Attr attribute, const std::string& written) {
    return with_attributes(sound, part, {{attribute, written}});
}

std::string without_part(const Sound& sound, PartId id, const std::string& instead) {
    const Span name = sound.part(id).where;
    const std::size_t begin = sound.text.rfind('\n', name.begin) + 1;
    const OwnBlock block = own_block(sound.text, name);
    const std::size_t end = block.open == block.close ? block.close : block.close + 1;
    std::string text = sound.text;
    return text.replace(begin, end - begin, instead);
}

std::string with_wire_field(const Sound& sound, WireId id, std::size_t field, const std::string& written) {
    std::size_t begin = sound.harness->wire(id).where.end;
    for (std::size_t i = 0; i < field; ++i) begin = sound.text.find(',', begin) + 1;
    const std::size_t end = sound.text.find_first_of(",)", begin);
    std::string text = sound.text;
    return text.replace(begin, end - begin, " " + written);
}

std::string with_lines(const Sound& sound, const std::string& lines) {
    return sound.text + "\n" + lines;
}

std::optional<std::string> with_route_word(const Sound& sound, const std::string& from,
                                           const std::string& to) {
    const auto edge = [&](std::size_t at) {
        return at >= sound.text.size() || sound.text[at] == ' ' || sound.text[at] == '\n';
    };
    std::size_t line = 0;
    bool in_route = false;
    while (line < sound.text.size()) {
        const std::size_t end = std::min(sound.text.find('\n', line), sound.text.size());
        const std::string_view words = std::string_view(sound.text).substr(line, end - line);
        const std::size_t first = words.find_first_not_of(' ');
        if (first != std::string_view::npos)
            in_route = words.substr(first, 6) == "route " || (in_route && first >= 4);
        for (std::size_t at = line; in_route && (at = sound.text.find(from, at)) < end; ++at)
            if (at > 0 && edge(at - 1) && edge(at + from.size())) {
                std::string text = sound.text;
                return text.replace(at, from.size(), to);
            }
        line = end + 1;
    }
    return std::nullopt;
}

Poles poles_of(const Sound& sound, PartId id) {
    return {sound.path(sound.harness->terminal_of(id, TerminalRole::plus)),
            sound.path(sound.harness->terminal_of(id, TerminalRole::minus))};
}

std::vector<PartId> fed_loads(const Sound& sound) {
    std::vector<PartId> list;
    for (const PartId id : sound.parts({loomward::Kind::load})) {
        const EdgeId edge = sound.edge_of(id, EdgeRole::load);
        if (sound.across_V(edge) > 1 && sound.part(id).name.find('.') == std::string_view::npos)
            list.push_back(id);
    }
    return list;
}

}  // namespace planted
