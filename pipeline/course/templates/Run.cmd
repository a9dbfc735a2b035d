@echo off
rem A double click runs this folder and opens the pages.
cd /d "%~dp0"
lostroot run .
set "status=%errorlevel%"
if %status% leq 1 if exist "reports\own\index.html" start "" "reports\own\index.html"
pause
exit /b %status%
