#include "checker/solver/network_question.hpp"

#include <bit>
#include <cstring>
#include <iterator>

namespace loomward {

namespace {

constexpr std::size_t most_branches = 4000;

class Writer {
  public:
    explicit Writer(std::string& text) : text_(text) {}

    template <class Number>
    void write(Number number) {
        char bytes[sizeof number];
        std::memcpy(bytes, &number, sizeof number);
        text_.append(bytes, sizeof number);
    }

    // Most figures of most branches are 0: which are not, then those alone.
    void write_figures(const Branch& branch) {
        const double figures[] = {branch.resistance_ohm, branch.voltage_V, branch.current_A,
                                  branch.power_W,        branch.knee_V,    branch.efficiency};
        std::uint8_t which = branch.both_ways ? 0x80 : 0;
        for (std::size_t i = 0; i < std::size(figures); ++i)
            if (is_written(figures[i])) which = static_cast<std::uint8_t>(which | 1U << i);
        write(which);
        for (const double figure : figures)
            if (is_written(figure)) write(figure);
    }

  private:
    static bool is_written(double figure) { return std::bit_cast<std::uint64_t>(figure) != 0; }

    std::string& text_;
};

}  // namespace

std::string question_of(const Network& network, double number) {
    std::string question;
    if (network.branches.size() > most_branches) return question;
    question.reserve(32 * (network.branches.size() + 1) + 8 * network.ties.size());
    Writer writer(question);
    writer.write(number);
    writer.write(network.node_count);
    writer.write(network.branches.size());
    for (const Branch& branch : network.branches) {
        writer.write(branch.type);
        writer.write(branch.from);
        writer.write(branch.to);
        writer.write(branch.partner.value);
        writer.write_figures(branch);
    }
    for (const NetworkTie& tie : network.ties) {
        writer.write(tie.from);
        writer.write(tie.to);
    }
    return question;
}

std::size_t bytes_of(const NetworkSolution& solution) {
    return sizeof solution + sizeof(double) * (solution.node_V.size() + solution.branch_A.size());
}

}  // namespace loomward
