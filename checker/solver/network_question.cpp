#include "checker/solver/network_question.hpp"

#include <array>
#include <bit>
#include <cstring>

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
    void write_figures(const std::array<double, 6>& figures, bool flag) {
        std::uint8_t which = flag ? 0x80 : 0;
        for (std::size_t i = 0; i < figures.size(); ++i)
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
    // Named one by one, so that nothing that is added to a network or a branch can be forgotten here.
    const auto& [node_count, branches, ties] = network;
    std::string question;
    if (branches.size() > most_branches) return question;
    question.reserve(32 * (branches.size() + 1) + 8 * ties.size());
    Writer writer(question);
    writer.write(number);
    writer.write(node_count);
    writer.write(branches.size());
    for (const Branch& branch : branches) {
        const auto& [type, from, to, ohm, volts, amps, watts, knee, efficiency, both_ways, partner] = branch;
        writer.write(type);
        writer.write(from);
        writer.write(to);
        writer.write(partner.value);
        writer.write_figures({ohm, volts, amps, watts, knee, efficiency}, both_ways);
    }
    for (const NetworkTie& tie : ties) {
        writer.write(tie.from);
        writer.write(tie.to);
    }
    return question;
}

std::size_t bytes_of(const NetworkSolution& solution) {
    return sizeof solution + sizeof(double) * (solution.node_V.size() + solution.branch_A.size());
}

}  // namespace loomward
