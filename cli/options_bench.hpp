// The commands for the bench and the customer, as far as the command line goes.
#pragma once
#include <string>

#include "cli/options.hpp"

namespace CLI {
class App;
}

namespace loomward::cli {

// `format`: "text" or "json", as typed.
void add_bench_commands(CLI::App& app, Options& options, std::string& format);

}  // namespace loomward::cli
