# Compiles the sources of each folder as one, which reads the large headers once a folder instead of once a file. Sources
# whose own names (in an unnamed namespace) are also those of a neighbour stand alone; so does report/, where many are.
set(standing_alone
    cli/command cli/record cli/record_import cli/record_ledger cli/record_state cli/sheet cli/size_fitting cli/type cli/write_folder clock/zone farm/site farm/toml_scan heatup/bag_steps heatup/lag_json kinetics/reference_table
    logs/time_line logs/time_scan logs/understanding probes/check_limits probes/check_rules probes/probe_class quantity/typed records/key_file
    records/export records/import records/ledger records/proof_text records/public_key records/run_entry_json records/store run/judge
    run/probe_meter sizing/heat_balance sizing/plan sizing/plan_json sizing/plan_request sizing/run_sheet sizing/sweep sizing/vessel_figures
    steam/saturation tables/table
    records/charted_run records/copy records/export records/fields records/history records/import records/packed
    records/proof_text records/query records/zip cli/command cli/record cli/record_copy cli/record_export
    cli/record_import cli/record_state cli/write_folder)
foreach(source IN LISTS coldbag_sources)
  file(RELATIVE_PATH name ${PROJECT_SOURCE_DIR}/src ${source})
  get_filename_component(folder ${name} DIRECTORY)
  string(REPLACE ".cpp" "" name ${name})
  if(folder STREQUAL "report" OR name IN_LIST standing_alone)
    set_source_files_properties(${source} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON)
  else()
    set_source_files_properties(${source} PROPERTIES UNITY_GROUP ${folder})
  endif()
endforeach()
set_target_properties(coldbag_engine PROPERTIES UNITY_BUILD ON UNITY_BUILD_MODE GROUP)
