// Law: worse is not better. A thinner or longer wire, a larger fuse, a smaller rating, a hotter ambient, one
// more load, source or resistor never removes a finding, except by a worse one on the same thing.
//
// What is worse for one question can truly be better for another, and then it is left out here: more
// resistance on the way lessens every current that a source drives (what a fuse has to break, an inrush, what
// a resistor draws), and a larger fuse is less loaded itself.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <array>
#include <regex>
#include <set>

#include "tests/checker/random_network.hpp"
#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"

namespace worse_test {

using namespace laws;
using loomward::test::Dice;

namespace {

const std::set<std::string> too_much_current = {
    "fuse-breaking-capacity", "no-precharge",    "making-current",     "short-time-withstand",
    "breaking-current",       "overloaded-wire", "overloaded-contact", "overloaded-fuse",
    "overdrawn-pack",         "overdrawn-bms",   "input-voltage",      "voltage-drop",
    "nuisance-trip",          "slow-clearing",   "joined-packs",       "overloaded-converter",
    "charge-voltage"};

struct Worse {
    std::string how;
    std::string text;
    std::string thing;            // what was made worse: a worse finding about it may stand for another
    std::set<std::string> truly;  // rules for which it is truly better
    bool spares_itself = false;   // findings about the thing itself may go
};

std::string with_part(const RandomHarness& harness, std::size_t part, const std::string& text) {
    RandomHarness made = harness;
    made.parts[part] = text;
    return made.text();
}

std::string name_of(const std::string& statement) {
    const std::size_t begin = statement.find(' ') + 1;
    return statement.substr(begin, statement.find(' ', begin) - begin);
}

void thinner_and_longer(const RandomHarness& harness, Dice& dice, std::vector<Worse>& all) {
    const std::size_t at = dice.below(static_cast<std::uint32_t>(harness.wires.size()));
    RandomHarness made = harness;
    WireText& wire = made.wires[at];
    wire.size = fmt::format("{} mm2", 0.6 * std::stod(wire.size));
    std::set<std::string> rules = too_much_current;
    // The wire itself is never better off.
    for (const char* own : {"overloaded-wire", "voltage-drop"}) rules.erase(own);
    all.push_back({"thinner wire " + wire.name, made.text(), wire.name, rules});
    made = harness;
    made.wires[at].length = fmt::format("{} m", 2 * std::stod(wire.length));
    all.push_back({"longer wire " + wire.name, made.text(), wire.name, too_much_current});
}

void larger_fuse(const RandomHarness& harness, std::vector<Worse>& all) {
    static const std::regex rating(R"(\{ ([\d.]+) A)");
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const std::string& part = harness.parts[i];
        std::smatch match;
        if (!part.starts_with("fuse ") || !std::regex_search(part, match, rating)) continue;
        // Beyond the largest of its family nothing tells when it opens: that is ignorance, not a larger fuse.
        const double largest = part.find("iso8820-3") != part.npos ? 40 : 200;
        const double larger = std::min(std::ceil(2 * std::stod(match[1])), largest);
        if (larger <= std::stod(match[1])) continue;
        const std::string text = std::regex_replace(part, rating, fmt::format("{{ {} A", larger));
        // Which of two opens first is another question with another fuse. Its resistance is stated and stays.
        all.push_back(
            {"larger fuse " + name_of(part),
             with_part(harness, i, text),
             name_of(part),
             {"not-selective", "electronics-first", "nuisance-trip", "overloaded-fuse", "missing-data"},
             true});
    }
}

void smaller_ratings(const RandomHarness& harness, std::vector<Worse>& all) {
    static const std::regex ratings[] = {
        std::regex(R"((carries )([\d.]+)( A))"),     std::regex(R"((makes )([\d.]+)( A))"),
        std::regex(R"((breaks )([\d.]+)( k?A))"),    std::regex(R"((discharge )([\d.]+)( A))"),
        std::regex(R"((, charge )([\d.]+)( A))"),    std::regex(R"((\{ )([\d.]+)( V dc))"),
        std::regex(R"((supply-limit )([\d.]+)( A))")};
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        for (const std::regex& rating : ratings) {
            std::smatch match;
            const std::string& part = harness.parts[i];
            if (!std::regex_search(part, match, rating)) continue;
            if (match[1].str() == "supply-limit ") continue;  // a setting: smaller draws less
            const std::string text = match.prefix().str() + match[1].str() +
                                     fmt::format("{}", 0.5 * std::stod(match[2])) + match[3].str() +
                                     match.suffix().str();
            all.push_back({"smaller rating '" + match[0].str() + "' of " + name_of(part),
                           with_part(harness, i, text),
                           name_of(part),
                           {}});
        }
}

void hotter(const RandomHarness& harness, std::vector<Worse>& all) {
    RandomHarness made = harness;
    static const std::regex ambient(R"(ambient (-?\d+)\.\.(\d+) degC)");
    made.head = std::regex_replace(made.head, ambient, "ambient $1..65 degC");
    // A hot conductor lets less through.
    all.push_back({"hotter ambient", made.text(), "", too_much_current});
    all.back().truly.erase("overloaded-wire");
    all.back().truly.erase("overloaded-contact");
    all.back().truly.erase("voltage-drop");
}

// What hangs behind a fuse of its own between the bars, so that it is a branch like the others.
struct Addition {
    std::string how, parts;
    std::vector<std::array<const char*, 2>> ways;  // beside X1.39 to F80.in
    std::set<std::string> truly;
};

const std::vector<Addition>& additions() {
    const std::string relay =
        " { contacts change-over, carries 20 A, makes 60 A, breaks 15 A at 160 V dc, coil 12 V 150 mA }\n";
    const std::string small_switch = " { 160 V dc, carries 20 A, makes 60 A, breaks 15 A at 160 V dc }\n";
    const std::string load = "load E80 { 48 V, 2 A, acts-as current }\n";
    const std::set<std::string> sag = {"input-voltage",   "fuse-breaking-capacity", "no-precharge",
                                       "making-current",  "overdrawn-pack",         "breaking-current",
                                       "overloaded-wire", "overloaded-contact",     "overloaded-fuse"};
    // A resistor across the bars empties what is charged there.
    std::set<std::string> sag_and_bleed = sag;
    sag_and_bleed.insert("charged-after-opening");
    static const std::vector<Addition> all{
        {"load", load, {{"F80.out", "E80.+"}, {"E80.-", "X2.39"}}, sag},
        {"resistor",
         "resistor R80 { 100 ohm, 200 W }\n",
         {{"F80.out", "R80.in"}, {"R80.out", "X2.39"}},
         sag_and_bleed},
        {"source",
         "charger G80 { output 30 V 2 A, reverse blocked }\n",
         {{"F80.out", "G80.+"}, {"G80.-", "X2.39"}},
         {}},
        // It meets plus and minus by turns.
        {"motor that is reversed",
         "relay K80" + relay + "relay K81" + relay + load,
         {{"F80.out", "K80.no"},
          {"K80.no", "K81.no"},
          {"K80.nc", "X2.39"},
          {"K81.nc", "X2.38"},
          {"K80.com", "E80.+"},
          {"E80.-", "K81.com"}},
         {}},
        {"load with a diode across it, behind a switch",
         "switch S80" + small_switch + "diode D80 { 20 A, 400 V, drop 0.6 V }\n" + load,
         {{"F80.out", "S80.in"},
          {"S80.out", "E80.+"},
          {"E80.-", "X2.39"},
          {"E80.-", "D80.A"},
          {"D80.K", "E80.+"}},
         sag},
        {"isolated converter",
         "converter D80 { input 1..160 V, output 12 V 2 A, efficiency 90 %, negative isolated, reverse "
         "blocked }\n" +
             load,
         {{"F80.out", "D80.in+"}, {"D80.in-", "X2.39"}, {"D80.out+", "E80.+"}, {"E80.-", "D80.out-"}},
         sag},
        {"pack of its own on the minus",
         "pack B80 { voltage 11..14.4 V, resistance 20 mohm, capacity 20 Ah, discharge 40 A, charge 10 A "
         "}\n" +
             load,
         {{"F80.out", "E80.+"}, {"E80.-", "X2.39"}, {"B80.-", "X2.38"}},
         sag},
        {"ring of conductors",
         "stud X80\nstud X81\n" + load,
         {{"F80.out", "X80"}, {"X80", "X81"}, {"X81", "X80"}, {"X81", "E80.+"}, {"E80.-", "X2.39"}},
         sag},
        {"choice of two lamps",
         "relay K80" + relay + load + "load E81 { 48 V, 1 A, acts-as current }\n",
         {{"F80.out", "K80.com"},
          {"K80.no", "E80.+"},
          {"E80.-", "X2.39"},
          {"K80.nc", "E81.+"},
          {"E81.-", "X2.38"}},
         sag},
        {"load with its fuse in the minus",
         "fuse F81 { 10 A, 160 V dc, breaks 20 kA at 160 V dc, curve iec60269-gg, clears 600 A2s }\n" + load,
         {{"F80.out", "E80.+"}, {"E80.-", "F81.in"}, {"F81.out", "X2.39"}},
         sag}};
    return all;
}

void one_more(const RandomHarness& harness, std::vector<Worse>& all) {
    for (const Addition& addition : additions()) {
        RandomHarness made = harness;
        for (std::string& part : made.parts)
            if (part.starts_with("busbar "))
                part = std::regex_replace(part, std::regex(R"(studs \d+)"), "studs 40");
        made.parts.push_back(
            "fuse F80 { 5 A, 160 V dc, breaks 20 kA at 160 V dc, curve iec60269-gg, clears 200 A2s }");
        made.parts.push_back(addition.parts);
        made.wires.push_back({"W80", "X1.39", "F80.in", "2.5 mm2", "0.1 m", "red", ""});
        for (std::size_t i = 0; i < addition.ways.size(); ++i)
            made.wires.push_back({"W" + std::to_string(81 + i), addition.ways[i][0], addition.ways[i][1],
                                  "2.5 mm2", "0.3 m", "red", ""});
        all.push_back({"one more " + addition.how, made.text(), "", addition.truly});
    }
}

// Rating by rating: whether something graver or new is told of the same thing instead.
bool worse_on(const Verdict& before, const Verdict& after, const std::string& subject) {
    for (const auto& [key, severity] : after) {
        if (key.second != subject) continue;
        const auto old = before.find(key);
        if (old == before.end() || old->second > severity) return true;
    }
    return false;
}

void try_worse(std::size_t harnesses, Tally& tally) {
    Dice dice(5);
    for (std::size_t i = 0; i < harnesses; ++i) {
        const RandomHarness harness = random_harness(i);
        const Verdict before = verdict(*checked("random.loom", harness.text()));
        std::vector<Worse> all;
        thinner_and_longer(harness, dice, all);
        larger_fuse(harness, all);
        smaller_ratings(harness, all);
        hotter(harness, all);
        one_more(harness, all);
        for (const Worse& worse : all) {
            const std::optional<Results> results = checked("random.loom", worse.text);
            if (!results) {
                const loomward::ReadResult refused = read("random.loom", worse.text);
                FAIL(worse.how << ": " << refused.mistakes.front().message << "\n" << worse.text);
            }
            tally.tried();
            const Verdict after = told_of_all(*results);
            for (const Verdict::value_type& gone : lost(before, after)) {
                if (gone.second == Severity::note || worse.truly.contains(gone.first.first)) continue;
                if (worse.spares_itself && gone.first.second == worse.thing) continue;
                if (worse_on(before, after, gone.first.second)) continue;
                keep("random " + std::to_string(i), harness.text());
                keep("random " + std::to_string(i) + ", " + worse.how, worse.text);
                tally.exception("random " + std::to_string(i) + ", " + worse.how + ": no more " +
                                shown(gone));
            }
        }
    }
}

}  // namespace

TEST_CASE("a worse harness has no finding less") {
    Tally tally("worse is not better");
    try_worse(cases(25), tally);
    INFO(tally.all());
    CHECK(tally.count() > 200);
    CHECK(tally.exceptions().size() <= tally.known());
}

TEST_CASE("a checker that forgets guards where one load more hangs on breaks the law of the worse harness") {
    const PlantedFault fault([](Results& results) {
        if (results.harness->find_part("E80")) forget(results, "oversized-fuse");
    });
    Tally tally("worse is not better, with a planted fault");
    try_worse(4, tally);
    CHECK_FALSE(tally.exceptions().empty());
}

// What the law found at 400 harnesses: a larger fuse cleared a warning that had been false.
TEST_CASE("a bar is not told for the sum of branches that one main fuse feeds") {
    for (const std::size_t number : {32U, 285U}) {
        const std::string text = random_harness(number).text();
        const Verdict told = verdict(*checked("random.loom", text));
        const auto bar = told.find({"rated-below-guard", "X2"});
        CHECK((bar == told.end() || bar->second == Severity::note));
    }
}

}  // namespace worse_test
