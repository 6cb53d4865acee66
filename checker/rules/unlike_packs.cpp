// Packs that work together and are not alike: one behind the other, where the same current flows through
// all of them, and side by side, where each takes the share that its cells let it.
#include <algorithm>
#include <functional>
#include <map>
#include <set>
#include <utility>
#include <vector>

#include "checker/budget/missing_values.hpp"
#include "checker/circuit/managements.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/string_points.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::unlike_packs {
namespace {

using namespace literals;

// Batteries of one type differ by less among themselves: common practice, no source.
constexpr double alike = 0.9;
// Kinds of cells differ by a tenth and more in their full voltage, settings of one kind by less: no source.
constexpr double one_kind = 1.05;

constexpr RuleInfo infos[] = {
    {"unlike-packs",
     "packs in series of which one holds less than another, or is of another kind; packs side by side of "
     "different cells",
     "capacities of packs in series within 10 %, those side by side added up; voltages of their full cells, "
     "or "
     "U_empty / U_full of packs that do not state their cells, within 5 %",
     "common practice, no source",
     "a warning; a note where one battery management watches all packs of the string or a converter levels "
     "them, and of packs side by side; one capacity that both have from one type counts as one, whatever it "
     "is; of what its cells are made is known by voltages alone, and how old a pack is not at all",
     "pack B8 { voltage 12..14.4 V, resistance 5 mohm, capacity 40 Ah, discharge 60 A, charge 10 A }\n"
     "pack B9 { voltage 12..14.4 V, resistance 5 mohm, capacity 90 Ah, discharge 60 A, charge 10 A }\n"
     "load H9 { 24 V, 20 W, acts-as power, works 18..32 V }\n"
     "fuse F9 { 5 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }\n"
     "route B8.- (W30 6 mm2, 0.1 m) B9.+\n"
     "route B8.+ (W31 1 mm2, 0.1 m) F9 (W32 1 mm2, 0.3 m) H9 (W33 1 mm2, 0.3 m) B9.-\nsplice X1",
     "splice X1"},
};

// Sections that lie side by side, and what they hold together.
struct Bank {
    std::vector<EdgeId> sections;
    std::optional<Quantity> holds_Ah;  // absent: one of them does not say
    std::optional<double> full_cell_V;
    std::optional<double> swing;  // empty to full, as a share of full
    std::size_t string = 0;       // banks of one string have one number
};

class UnlikePacks {
  public:
    UnlikePacks(const RuleInput& input, Report& report)
        : input_(input), report_(report), points_(string_points(input.circuit)), managements_(input.circuit) {
        std::map<std::pair<std::size_t, std::size_t>, std::size_t> between;
        for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
            const Edge& edge = input.circuit.edges[i];
            const std::pair ends(points_.piece[edge.from.index()], points_.piece[edge.to.index()]);
            if (edge.role != EdgeRole::emf || ends.first == ends.second) continue;
            const auto [at, fresh] = between.try_emplace(ends, banks_.size());
            if (fresh) banks_.push_back({{}, {}, {}, {}, banks_.size()});
            banks_[at->second].sections.emplace_back(i);
        }
        for (Bank& bank : banks_) {
            bank.holds_Ah = capacity_of(bank);
            bank.full_cell_V = full_cell_of(bank);
            if (const auto voltage = pack_voltage(input.facts, first(bank));
                voltage && voltage->known != Knowledge::assumed && voltage->hi > 0)
                bank.swing = voltage->lo / voltage->hi;
        }
        find_strings();
    }

    void look() {
        for (const Bank& bank : banks_) judge_side_by_side(bank);
        std::map<std::size_t, std::vector<const Bank*>> strings;
        for (const Bank& bank : banks_) strings[bank.string].push_back(&bank);
        for (const auto& [number, banks] : strings)
            for (const Bank* bank : banks) {
                judge_capacity(*bank, banks);
                judge_cells(*bank, banks);
            }
    }

  private:
    PartId part(EdgeId section) const { return input_.circuit.edge(section).part; }
    PartId first(const Bank& bank) const { return part(bank.sections.front()); }
    std::string names_of(const Bank& bank) const {
        std::string names;
        std::set<PartId> told;
        for (const EdgeId each : bank.sections)
            if (told.insert(part(each)).second)
                names += (names.empty() ? "" : " + ") + std::string(input_.harness.part(part(each)).name);
        return names;
    }
    static std::string charge(double charge_Ah) { return to_text(charge_Ah, Dimension::charge); }

    std::optional<Quantity> capacity_of(const Bank& bank) const {
        Quantity sum{0, 0, Dimension::charge, Knowledge::stated};
        for (const EdgeId each : bank.sections) {
            const auto one = pack_capacity(input_.facts, part(each));
            if (!one) return std::nullopt;
            sum.lo += one->lo;
            sum.hi += one->hi;
        }
        return sum;
    }
    std::optional<double> full_cell_of(const Bank& bank) const {
        const auto cell = input_.facts.quantity(first(bank), "cell-voltage"_attr);
        return cell ? std::optional(cell->hi) : std::nullopt;
    }
    void find_strings() {
        std::vector<std::size_t> bank_of(input_.circuit.edges.size());
        for (std::size_t i = 0; i < banks_.size(); ++i)
            for (const EdgeId each : banks_[i].sections) bank_of[each.index()] = i;
        DisjointSets strings(banks_.size());
        for (const auto& [piece, point] : points_.among)
            for (const EdgeId above : point.above)
                strings.join(bank_of[point.below.front().index()], bank_of[above.index()]);
        for (std::size_t i = 0; i < banks_.size(); ++i) banks_[i].string = strings.find(i);
    }

    // What keeps an unlike string from harm: it stops at the first cell, or moves charge past it.
    std::string kept_by(const std::vector<const Bank*>& banks) {
        std::set<PartId> watching;
        for (const Bank* bank : banks)
            for (const EdgeId each : bank->sections) {
                const std::set<PartId> now = managements_.of(part(each));
                if (bank == banks.front() && each == bank->sections.front()) watching = now;
                std::erase_if(watching, [&](PartId bms) { return !now.contains(bms); });
            }
        if (!watching.empty()) return named(input_.harness, *watching.begin());
        for (const auto& [piece, point] : points_.among)
            for (const Bank* bank : banks)
                if (!point.levelling.empty() &&
                    std::count(point.below.begin(), point.below.end(), bank->sections.front()) > 0)
                    return named(input_.harness, part(point.levelling.front().first));
        return {};
    }

    void judge_capacity(const Bank& bank, const std::vector<const Bank*>& string) {
        const Bank* largest = nullptr;
        for (const Bank* each : string)
            if (each->holds_Ah && (!largest || each->holds_Ah->hi > largest->holds_Ah->hi)) largest = each;
        if (!bank.holds_Ah || largest == &bank || first(*largest) == first(bank)) return;
        const double least_Ah = bank.holds_Ah->lo, most_Ah = largest->holds_Ah->hi;
        // One estimate for both is one battery twice.
        if (bank.holds_Ah->lo == largest->holds_Ah->lo && bank.holds_Ah->hi == most_Ah) return;
        if (!below(least_Ah, alike * most_Ah)) return;
        Finding finding = about(bank, *largest, string);
        finding.message = named(input_.harness, first(bank)) + " holds less than what it lies in series with";
        finding.beside = charge(least_Ah) + " in series with " + charge(most_Ah);
        finding.working.insert(finding.working.begin(), charge(least_Ah) + " (" + names_of(bank) +
                                                            ") < 90 % of " + charge(most_Ah) + " (" +
                                                            names_of(*largest) + ")");
        finding.figures = {{"capacity", least_Ah, Dimension::charge}, {"other", most_Ah, Dimension::charge}};
        finding.help =
            "packs of one capacity, kind and age in series: " + charge(alike * most_Ah) + " or more here";
        report_.add(std::move(finding));
    }

    void judge_cells(const Bank& bank, const std::vector<const Bank*>& string) {
        const Bank* highest = nullptr;
        for (const Bank* each : string)
            if (each->full_cell_V && (!highest || *each->full_cell_V > *highest->full_cell_V)) highest = each;
        if (std::any_of(string.begin(), string.end(), [](const Bank* each) { return !each->full_cell_V; }))
            return judge_swing(bank, string);
        if (!above(*highest->full_cell_V, one_kind * *bank.full_cell_V)) return;
        Finding finding = about(bank, *highest, string);
        finding.message =
            named(input_.harness, first(bank)) + " has other cells than what it lies in series with";
        tell_cells(finding, *bank.full_cell_V, first(bank), *highest->full_cell_V, first(*highest));
        report_.add(std::move(finding));
    }
    // Of packs that do not all state their cells: those that go down the furthest from where they are full.
    void judge_swing(const Bank& bank, const std::vector<const Bank*>& string) {
        const Bank* least = nullptr;
        for (const Bank* each : string)
            if (each->swing && (!least || *each->swing > *least->swing)) least = each;
        if (!bank.swing || !above(*least->swing, one_kind * *bank.swing)) return;
        const auto range = [&](const Bank& each) {
            const Quantity voltage = *pack_voltage(input_.facts, first(each));
            return volts(voltage.lo) + " to " + volts(voltage.hi);
        };
        Finding finding = about(bank, *least, string);
        finding.message = named(input_.harness, first(bank)) +
                          " is of another kind than what it lies in series with, by its voltages";
        finding.beside = range(bank) + " in series with " + range(*least);
        finding.working.insert(finding.working.begin(),
                               to_text(100 * *least->swing, Dimension::percentage) + " (" + names_of(*least) +
                                   ") > 1.05 x " + to_text(100 * *bank.swing, Dimension::percentage) + " (" +
                                   names_of(bank) + "), empty of full");
        finding.figures = {{"empty", *bank.swing, Dimension::none},
                           {"other", *least->swing, Dimension::none}};
        finding.help = "packs of one capacity, kind and age in series; of one kind, the same limits for both";
        report_.add(std::move(finding));
    }
    void judge_side_by_side(const Bank& bank) {
        PartId lowest, highest;
        double lowest_V = 0, highest_V = 0;
        for (const EdgeId each : bank.sections) {
            const auto cell = input_.facts.quantity(part(each), "cell-voltage"_attr);
            if (!cell) continue;
            if (!lowest || cell->hi < lowest_V) lowest = part(each), lowest_V = cell->hi;
            if (!highest || cell->hi > highest_V) highest = part(each), highest_V = cell->hi;
        }
        if (!lowest || !above(highest_V, one_kind * lowest_V)) return;
        Finding finding = finding_about(input_, "unlike-packs", Severity::note, lowest);
        finding.message = named(input_.harness, lowest) + " has other cells than " +
                          named(input_.harness, highest) + " beside it";
        finding.working = {
            "their voltages differ half full: one gives, and takes, nearly all of the current"};
        tell_cells(finding, lowest_V, lowest, highest_V, highest);
        finding.source = "common practice, no source";
        finding.help = "each rated for all of the current, or packs of one kind of cell";
        relate(finding, highest);
        report_.add(std::move(finding));
    }
    void tell_cells(Finding& finding, double here_V, PartId here, double there_V, PartId there) const {
        const std::string one(input_.harness.part(here).name), other(input_.harness.part(there).name);
        finding.beside = "a full cell has " + volts(here_V) + ", in " + other + " " + volts(there_V);
        finding.working.insert(finding.working.begin(), volts(there_V) + " (" + other + ") > 1.05 x " +
                                                            volts(here_V) + " (" + one + ")");
        finding.figures = {{"voltage", here_V, Dimension::voltage}, {"other", there_V, Dimension::voltage}};
        if (finding.help.empty()) finding.help = "packs of one capacity, kind and age in series";
    }

    Finding about(const Bank& bank, const Bank& other, const std::vector<const Bank*>& string) {
        const std::string keeper = kept_by(string);
        Finding finding = finding_about(input_, "unlike-packs",
                                        keeper.empty() ? Severity::warning : Severity::note, first(bank));
        finding.working = {keeper.empty()
                               ? "one current flows through both: the one is full first and overcharged, and "
                                 "empty first and driven backwards"
                               : "one current flows through both; " + keeper + " has to end it, or level it"};
        finding.source = "common practice, no source";
        relate(finding, first(other));
        return finding;
    }
    void relate(Finding& finding, PartId other) const {
        finding.related.push_back(
            {input_.harness.part(other).where, named(input_.harness, other) + " is here"});
    }

    const RuleInput& input_;
    Report& report_;
    StringPoints points_;
    Managements managements_;
    std::vector<Bank> banks_;
};

void run(const RuleInput& input, Report& report) {
    UnlikePacks(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::unlike_packs
