// Commands and options that there are not, told with what comes near.
#pragma once
#include <string>
#include <vector>

namespace loomward::cli {

struct KnownOption {
    std::string name;  // "--mode", "-o"
    int values = 0;    // how many words follow it
};
struct KnownCommand {
    std::string name;
    std::vector<KnownOption> options;
};

// What is wrong with the words behind the program's name, as far as commands and names of options go:
// "check has no option '--formt'; there is an option '--format'". Empty where each is known.
std::string wrong_words(const std::vector<KnownCommand>& commands, const std::vector<std::string>& typed);

}  // namespace loomward::cli
