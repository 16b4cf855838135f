#include "errors/user_error.h"

#include "errors/our_fault.h"

#include <utility>

namespace coldbag {

namespace {

std::string all_lines(const std::vector<Complaint>& complaints) {
  std::string text;
  for (const Complaint& complaint : complaints) {
    if (!text.empty()) text += '\n';
    text += to_text(complaint);
  }
  return text;
}

} // namespace

namespace {

Complaint of_trouble(Trouble trouble, std::string problem, std::string remedy) {
  Complaint complaint;
  complaint.trouble = trouble;
  complaint.problem = std::move(problem);
  complaint.remedy = std::move(remedy);
  return complaint;
}

} // namespace

Complaint usage(std::string problem, std::string remedy) {
  return of_trouble(Trouble::usage, std::move(problem), std::move(remedy));
}

Complaint bad_data(std::string problem, std::string remedy) {
  return of_trouble(Trouble::bad_data, std::move(problem), std::move(remedy));
}

UserError::UserError(Complaint complaint) : UserError(std::vector<Complaint>{std::move(complaint)}) {}

UserError::UserError(std::vector<Complaint> complaints)
    : complaints_(std::move(complaints)), text_(all_lines(complaints_)) {
  our_check(!complaints_.empty(), "a user error holds at least one complaint");
}

std::string to_text(const Complaint& complaint) {
  const Place& place = complaint.place;
  std::string text;
  if (!place.source_name.empty()) {
    text += place.source_name + ':';
    if (place.line > 0) text += std::to_string(place.line) + ':';
    if (place.line > 0 && place.column > 0) text += std::to_string(place.column) + ':';
    text += ' ';
  }
  if (!place.key_path.empty()) text += place.key_path + ": ";
  text += complaint.problem;
  if (!complaint.remedy.empty()) text += "; " + complaint.remedy;
  return text;
}

} // namespace coldbag
