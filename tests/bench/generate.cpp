// generate WIRES [loom|json] [SEED]: the invented harness on standard output.
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "tests/bench/harness_writer.hpp"

int main(int count, char** arguments) {
    if (count < 2) {
        std::fputs("generate WIRES [loom|json] [SEED]\n", stderr);
        return 2;
    }
    const auto wires = static_cast<std::size_t>(std::strtoul(arguments[1], nullptr, 10));
    const std::string_view form = count > 2 ? arguments[2] : "loom";
    const auto seed = static_cast<std::uint32_t>(count > 3 ? std::strtoul(arguments[3], nullptr, 10) : 1);
    const auto harness = loomward::bench::generate_harness(wires, seed);
    const std::string& text = form == "json" ? harness.json : harness.loom;
    std::fwrite(text.data(), 1, text.size(), stdout);
    return 0;
}
