#include "checker/solver/network_chains.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

#include "checker/solver/wide_double.hpp"

namespace loomward {

class ContractedElements::Builder {
  public:
    Builder(ContractedElements& result, const Network& network, const NetworkGraph& graph,
            std::vector<Element> whole)
        : result_(result), network_(network), whole_(std::move(whole)), kept_(network.node_count, false) {
        std::vector<bool> fed_by_input(network.branches.size(), false);
        for (const Branch& branch : network.branches)
            if (branch.type == Branch::Type::converter_input && branch.partner)
                fed_by_input[branch.partner.index()] = true;
        for (const std::uint32_t node : graph.reference_of_island)
            if (node != NetworkGraph::none) kept_[node] = true;
        for (const Element& element : whole_) {
            if (element.law == Element::Law::linear && !fed_by_input[element.branch]) continue;
            kept_[element.from] = true;
            kept_[element.to] = true;
        }
        list_by_node();
        state_.resize(whole_.size(), State::open);
    }

    void build() {
        take_dead_ends();
        for (std::uint32_t index = 0; index < whole_.size(); ++index)
            if (state_[index] == State::open) take_chain(index);
    }

  private:
    enum class State : std::uint8_t { open, taken };

    void list_by_node() {
        begin_.assign(kept_.size() + 1, 0);
        for (const Element& element : whole_) ++begin_[element.from + 1], ++begin_[element.to + 1];
        degree_.assign(begin_.begin() + 1, begin_.end());
        std::partial_sum(begin_.begin(), begin_.end(), begin_.begin());
        at_.resize(2 * whole_.size());
        std::vector<std::size_t> next(begin_.begin(), begin_.end() - 1);
        for (std::uint32_t index = 0; index < whole_.size(); ++index) {
            at_[next[whole_[index].from]++] = index;
            at_[next[whole_[index].to]++] = index;
        }
    }

    std::uint32_t other_end(std::uint32_t index, std::uint32_t node) const {
        return whole_[index].from == node ? whole_[index].to : whole_[index].from;
    }

    // The first element at the node that is not taken and not `but`; `but` where there is none.
    std::uint32_t next_at(std::uint32_t node, std::uint32_t but) const {
        for (std::size_t place = begin_[node]; place < begin_[node + 1]; ++place)
            if (at_[place] != but && state_[at_[place]] == State::open) return at_[place];
        return but;
    }

    void take_dead_ends() {
        std::vector<std::uint32_t> ends;
        for (std::uint32_t node = 0; node < kept_.size(); ++node)
            if (degree_[node] == 1 && !kept_[node]) ends.push_back(node);
        constexpr std::uint32_t none = NetworkGraph::none;
        for (std::size_t next = 0; next < ends.size(); ++next) {
            const std::uint32_t node = ends[next];
            const std::uint32_t index = next_at(node, none);
            if (index == none) continue;  // both ends of what was taken
            const std::uint32_t inner = other_end(index, node);
            state_[index] = State::taken;
            --degree_[node];
            result_.dead_ends_.push_back({whole_[index], whole_[index].to == node});
            if (--degree_[inner] == 1 && !kept_[inner]) ends.push_back(inner);
        }
    }

    bool is_between(std::uint32_t node) const { return degree_[node] == 2 && !kept_[node]; }

    // From the element's `from` back to where the chain begins, then forwards to where it ends.
    void take_chain(std::uint32_t index) {
        std::uint32_t first = index, start = whole_[index].from;
        while (is_between(start)) {
            const std::uint32_t before = next_at(start, first);
            if (before == first || before == index) break;  // a ring of its own
            first = before;
            start = other_end(first, start);
        }
        const std::size_t begin = result_.links_.size();
        Element sum = whole_[index];
        double resistance_ohm = 0;
        sum.voltage_V = 0;
        sum.from = start;
        std::uint32_t node = start;
        for (std::uint32_t link = first;;) {
            const Element& element = whole_[link];
            const bool forwards = element.from == node;
            state_[link] = State::taken;
            const Branch& branch = network_.branches[element.branch];
            const bool ohmic = branch.type == Branch::Type::resistor || branch.type == Branch::Type::emf;
            const double its_ohm = ohmic ? branch.resistance_ohm : 1 / element.conductance_S;
            result_.links_.push_back({element, its_ohm, forwards});
            resistance_ohm += its_ohm;
            sum.voltage_V += forwards ? element.voltage_V : -element.voltage_V;
            node = other_end(link, node);
            if (!is_between(node)) break;
            const std::uint32_t next = next_at(node, link);
            if (next == link) break;
            link = next;
        }
        sum.to = node;
        sum.conductance_S = 1 / resistance_ohm;
        if (result_.links_.size() == begin + 1) {
            sum = whole_[index];
            result_.links_.back().forwards = true;
        }
        result_.left_.push_back(sum);
        result_.chains_.push_back({begin, result_.links_.size()});
    }

    ContractedElements& result_;
    const Network& network_;
    std::vector<Element> whole_;
    std::vector<bool> kept_;           // nodes that stay
    std::vector<std::size_t> begin_;   // by node, in at_
    std::vector<std::uint32_t> at_;    // elements
    std::vector<std::size_t> degree_;  // by node: what is not a dead end
    std::vector<State> state_;
};

ContractedElements::ContractedElements(const Network& network, const NetworkGraph& graph,
                                       std::vector<Element> whole)
    : branch_count_(network.branches.size()) {
    Builder(*this, network, graph, std::move(whole)).build();
}

// In twice the digits: a node in the middle may stand a billionth of a volt from its reference.
void ContractedElements::walk(const Element& whole, Chain chain, std::vector<FineVoltage>& voltage_V) const {
    const auto wide = [](FineVoltage voltage) { return WideDouble(voltage.high) + WideDouble(voltage.low); };
    const std::span<const Link> links(links_.begin() + static_cast<std::ptrdiff_t>(chain.begin),
                                      links_.begin() + static_cast<std::ptrdiff_t>(chain.end));
    const auto drives_V = [](const Link& link) {
        return WideDouble(link.forwards ? link.element.voltage_V : -link.element.voltage_V);
    };
    WideDouble driving_V = wide(voltage_V[whole.from]) - wide(voltage_V[whole.to]);
    WideDouble resistance_ohm;
    for (const Link& link : links) {
        driving_V += drives_V(link);
        resistance_ohm += WideDouble(link.resistance_ohm);
    }
    const WideDouble current_A = driving_V / resistance_ohm;
    WideDouble here_V = wide(voltage_V[whole.from]);
    for (const Link& link : links.first(links.size() - 1)) {
        here_V += drives_V(link) - current_A * WideDouble(link.resistance_ohm);
        voltage_V[link.forwards ? link.element.to : link.element.from] = {here_V.high, here_V.low};
    }
}

std::vector<double> ContractedElements::spread(std::span<const double> current_A,
                                               std::vector<FineVoltage>& voltage_V) const {
    std::vector<double> by_branch_A(branch_count_, 0);
    for (std::size_t index = 0; index < left_.size(); ++index) {
        const Chain chain = chains_[index];
        for (std::size_t place = chain.begin; place < chain.end; ++place)
            by_branch_A[links_[place].element.branch] =
                links_[place].forwards ? current_A[index] : -current_A[index];
        if (chain.end - chain.begin > 1) walk(left_[index], chain, voltage_V);
    }
    for (auto each = dead_ends_.rbegin(); each != dead_ends_.rend(); ++each) {
        const Element& element = each->element;
        const auto [inner, end] =
            each->ends_at_to ? std::pair(element.from, element.to) : std::pair(element.to, element.from);
        voltage_V[end] = voltage_V[inner];
        voltage_V[end].add(each->ends_at_to ? element.voltage_V : -element.voltage_V);
    }
    return by_branch_A;
}

}  // namespace loomward
