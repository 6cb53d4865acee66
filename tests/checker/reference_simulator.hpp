// A general circuit simulator's library as numeric reference: operating points and transients of decks of
// text lines.
// Its return codes say success even where it failed; so what it writes to its error stream counts, and what
// comes back must be there and finite.
#pragma once
#include <ngspice/sharedspice.h>

#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace loomward::test {

class ReferenceSimulator {
  public:
    // The library keeps one circuit in globals: one object for the whole program, one thread.
    static ReferenceSimulator& instance() {
        static ReferenceSimulator simulator;
        return simulator;
    }

    // Solves the deck (title first, `.end` last) and reads the voltages of the named nodes; empty if anything
    // at all went wrong, and then `complaint()` says what.
    std::optional<std::vector<double>> operating_point(std::vector<std::string> deck,
                                                       const std::vector<std::string>& nodes) {
        complaint_.clear();
        std::vector<char*> lines;
        for (std::string& line : deck) lines.push_back(line.data());
        lines.push_back(nullptr);
        if (ngSpice_Circ(lines.data()) != 0) complain("deck refused");
        command("op");
        std::vector<double> voltages;
        for (const std::string& node : nodes) {
            std::string name = node;
            const pvector_info info = complaint_.empty() ? ngGet_Vec_Info(name.data()) : nullptr;
            if (info == nullptr || info->v_length != 1 || info->v_realdata == nullptr) {
                complain("no voltage for " + node);
                break;
            }
            voltages.push_back(info->v_realdata[0]);
            if (!std::isfinite(voltages.back())) complain("voltage of " + node + " is no number");
        }
        const std::string complaint = complaint_;
        command("destroy all");
        command("remcirc");
        complaint_ = complaint;
        if (!complaint_.empty()) return std::nullopt;
        return voltages;
    }

    // The voltages of the named nodes over the times of the deck's `.tran` line, as the simulator steps.
    struct Waves {
        std::vector<double> time_s;
        std::vector<std::vector<double>> volts;  // by node
    };
    std::optional<Waves> transient(std::vector<std::string> deck, const std::vector<std::string>& nodes) {
        complaint_.clear();
        std::vector<char*> lines;
        for (std::string& line : deck) lines.push_back(line.data());
        lines.push_back(nullptr);
        if (ngSpice_Circ(lines.data()) != 0) complain("deck refused");
        command("run");
        Waves waves;
        const auto read = [&](std::string name) {
            std::vector<double> wave;
            const pvector_info info = complaint_.empty() ? ngGet_Vec_Info(name.data()) : nullptr;
            if (info == nullptr || info->v_length < 2 || info->v_realdata == nullptr)
                complain("no wave for " + name);
            else
                wave.assign(info->v_realdata, info->v_realdata + info->v_length);
            for (const double value : wave)
                if (!std::isfinite(value)) complain("wave of " + name + " is no number");
            return wave;
        };
        waves.time_s = read("time");
        for (const std::string& node : nodes) waves.volts.push_back(read(node));
        const std::string complaint = complaint_;
        command("destroy all");
        command("remcirc");
        complaint_ = complaint;
        if (!complaint_.empty()) return std::nullopt;
        return waves;
    }

    const std::string& complaint() const { return complaint_; }

  private:
    ReferenceSimulator() {
        ngSpice_Init(hear_text, hear_status, hear_exit, nullptr, nullptr, nullptr, this);
        command("set noaskquit");
        command("optran 1 0 0 0 0 0");
        complaint_.clear();
    }

    void command(std::string text) {
        if (ngSpice_Command(text.data()) != 0) complain("refused: " + text);
    }

    void complain(const std::string& text) {
        if (!complaint_.empty()) complaint_ += "; ";
        complaint_ += text;
    }

    // Lines come as "stdout ..." and "stderr ...". Notes and progress are no trouble.
    static int hear_text(char* text, int, void* self) {
        const std::string line = text;
        const bool error = line.rfind("stderr", 0) == 0;
        const bool harmless = line.size() <= 7 || line.find("Note:") != std::string::npos ||
                              line.find("Using ") != std::string::npos ||
                              line.find("spinit") != std::string::npos;
        if (error && !harmless) static_cast<ReferenceSimulator*>(self)->complain(line.substr(7));
        return 0;
    }
    static int hear_status(char*, int, void*) { return 0; }
    static int hear_exit(int, bool, bool, int, void* self) {
        static_cast<ReferenceSimulator*>(self)->complain("the simulator gave up");
        return 0;
    }

    std::string complaint_;
};

}  // namespace loomward::test
