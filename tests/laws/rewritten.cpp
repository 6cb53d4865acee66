#include "tests/laws/rewritten.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <iterator>
#include <regex>
#include <sstream>
#include <string_view>

#include "parser/language/kinds.hpp"

namespace laws {
namespace {

template <class T>
void shuffle(std::vector<T>& list, Dice& dice) {
    for (std::size_t i = list.size(); i > 1; --i)
        std::swap(list[i - 1], list[dice.below(static_cast<std::uint32_t>(i))]);
}

// Statements at the outermost level, comments left out.
std::vector<std::string> statements_of(const std::string& text) {
    std::vector<std::string> list;
    std::stringstream stream(text);
    int depth = 0;
    for (std::string line; std::getline(stream, line);) {
        bool quoted = false;
        for (std::size_t i = 0; i < line.size(); ++i) {
            if (line[i] == '"') quoted = !quoted;
            if (!quoted && line[i] == '#') line.erase(i);
        }
        const std::size_t begin = line.find_first_not_of(' ');
        if (begin == line.npos) continue;
        const std::string word = line.substr(begin, line.find_first_of(" {", begin) - begin);
        const bool fresh = depth == 0 && loomward::is_statement_word(word);
        if (fresh || list.empty())
            list.push_back(line);
        else
            list.back() += "\n" + line;
        quoted = false;
        for (const char c : line) {
            if (c == '"') quoted = !quoted;
            if (!quoted && (c == '{' || c == '(')) ++depth;
            if (!quoted && (c == '}' || c == ')')) --depth;
        }
    }
    return list;
}

struct OtherUnit {
    std::string_view unit, other;
    double factor;
};
constexpr OtherUnit other_units[] = {{"m", "cm", 100},   {"A", "mA", 1000},     {"kA", "A", 1000},
                                     {"W", "mW", 1000},  {"mohm", "ohm", 1e-3}, {"s", "ms", 1000},
                                     {"uF", "mF", 1e-3}, {"ohm", "mohm", 1000}};

std::string scaled(const std::string& number, double factor) {
    const double value = std::stod(number) * factor;
    std::string text = fmt::format("{:.9f}", value);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

std::string replaced(const std::string& text, const std::string& pattern, const std::string& by) {
    return std::regex_replace(text, std::regex(pattern), by);
}

// Names of parts and wires with a letter before them: the order of names stays what it was.
std::string with_other_names(const std::string& text) {
    return replaced(text, R"(\b([BDEFGJKLPQSUWX]\d+)\b)", "N$1");
}

Rewritten cut_by_a_splice(const RandomHarness& harness, Dice& dice) {
    // Two ends more resist more: how a wire is written does not matter only where ends count for nothing.
    RandomHarness whole = harness;
    whole.head += "policy { joint-resistance 0 mohm }\n";
    RandomHarness made = whole;
    std::size_t at = dice.below(static_cast<std::uint32_t>(made.wires.size()));
    while (!made.wires[at].bundle.empty()) at = (at + 1) % made.wires.size();  // the first wires lie in none
    WireText& first = made.wires[at];
    const double metres = std::stod(first.length);
    WireText second = first;
    second.name = first.name + "b";
    second.from = "X90";
    first.to = "X90";
    first.length = fmt::format("{:.4f} m", 0.6 * metres);
    second.length = fmt::format("{:.4f} m", 0.4 * metres);
    const std::string cut = first.name, rest = second.name;
    made.wires.push_back(second);
    made.parts.push_back("splice X90 { method crimp, resistance 0 mohm }");
    return {"cut in two by a splice: " + cut, made.text(),
            [cut, rest](const std::string& name) { return name == rest ? cut : name; }, whole.text()};
}

// What is printed on switches, contactors and controllers.
Rewritten with_marks(const RandomHarness& harness) {
    RandomHarness made = harness;
    for (std::string& part : made.parts) {
        if (part.starts_with("switch ")) part.insert(part.rfind('}'), ", marks in L, marks out T ");
        if (part.starts_with("contactor "))
            part.insert(part.rfind('}'), ", marks in com, marks A1 86, marks A2 85 ");
        if (part.starts_with("controller ")) part.insert(part.rfind('}'), ", marks + BAT+, marks - GND ");
        if (part.starts_with("load ")) part.insert(part.rfind('}'), ", marks + 31, marks - L ");
    }
    for (WireText& wire : made.wires)
        for (std::string* end : {&wire.from, &wire.to}) {
            const std::string part = end->substr(0, end->find('.')),
                              terminal = end->substr(end->find('.') + 1);
            const char kind = part.front();
            std::string printed = terminal;
            if (kind == 'S') printed = terminal == "in" ? "L" : "T";
            if (kind == 'K' && terminal != "out")
                printed = terminal == "in" ? "com" : terminal == "A1" ? "86" : "85";
            if (kind == 'U') printed = terminal == "+" ? "BAT+" : "GND";
            if (kind == 'E') printed = terminal == "+" ? "31" : "L";
            *end = part + "." + printed;
        }
    return {"under marks", made.text()};
}

Rewritten as_an_assembly(const RandomHarness& harness) {
    std::string text = harness.head + "part all is assembly {\n";
    for (const std::string& part : harness.parts) text += "  " + part + "\n";
    for (const WireText& wire : harness.wires) text += "  " + route_of(wire) + "\n";
    text += "}\nassembly T1 is all\n";
    for (const std::string& mode : harness.modes)
        text += replaced(mode, R"(\b([BDEFGJKPQSUX]\d+)\b)", "T1.$1") + "\n";
    return {"an assembly against its flat copy", text,
            [](const std::string& name) { return name.starts_with("T1.") ? name.substr(3) : name; }};
}

}  // namespace

std::string in_another_order(const std::string& text, Dice& dice) {
    std::vector<std::string> all = statements_of(text), first, rest;
    for (std::string& each : all) {
        const bool stays = each.starts_with("loom ") || each.starts_with("use ");
        (stays ? first : rest).push_back(std::move(each));
    }
    shuffle(rest, dice);
    std::string made;
    for (const std::string& each : first) made += each + "\n";
    for (const std::string& each : rest) made += each + "\n";
    return made;
}

std::string in_other_units(const std::string& text) {
    static const std::regex quantity(R"(\b(\d+(?:\.\d+)?)(?:\.\.(\d+(?:\.\d+)?))? ([A-Za-z]+)\b)");
    std::string made;
    auto from = text.cbegin();
    for (std::sregex_iterator each(text.begin(), text.end(), quantity), end; each != end; ++each) {
        const std::smatch& match = *each;
        made.append(from, match[0].first);
        const auto other = std::find_if(std::begin(other_units), std::end(other_units),
                                        [&](const OtherUnit& unit) { return unit.unit == match[3].str(); });
        if (other == std::end(other_units)) {
            made += match[0].str();
        } else {
            made += scaled(match[1].str(), other->factor);
            if (match[2].matched) made += ".." + scaled(match[2].str(), other->factor);
            made += " " + std::string(other->other);
        }
        from = match[0].second;
    }
    return made.append(from, text.cend());
}

std::vector<Rewritten> rewritings(const RandomHarness& harness, Dice& dice) {
    std::vector<Rewritten> all;
    RandomHarness turned = harness, shuffled = harness;
    for (WireText& wire : turned.wires) std::swap(wire.from, wire.to);
    shuffle(shuffled.parts, dice);
    shuffle(shuffled.wires, dice);
    shuffle(shuffled.modes, dice);
    all.push_back({"in another order", shuffled.text()});
    all.push_back({"wires walked the other way", turned.text()});
    all.push_back({"other units", in_other_units(harness.text())});
    all.push_back({"other names", with_other_names(harness.text()),
                   [](const std::string& name) { return replaced(name, R"(\bN([A-Z]\d))", "$1"); }});
    all.push_back(cut_by_a_splice(harness, dice));
    all.push_back(with_marks(harness));
    // Bundles are described outside of assemblies.
    if (harness.text().find("\nbundle ") == std::string::npos) all.push_back(as_an_assembly(harness));
    return all;
}

}  // namespace laws
